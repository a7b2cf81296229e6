/**
 * Photos at the stand: kept as the camera gave them before anything else is done, made smaller, then entered together
 * with their entry in one transaction (LG13).
 */
import { signal } from '@preact/signals'
import {
  dropRaw,
  keepRaw,
  markPhoto,
  type PhotoPlace,
  photo,
  photosMarked,
  type RawPhoto,
  rawPhotos,
  recall,
  record,
  remember,
  StoreFailure,
  sha256OfBytes,
} from '../store/index.ts'
import { fetchPhoto, recount } from '../sync/index.ts'
import { tradeVersion } from './catalogue.ts'

/** The long edge of what is kept: a scored shell can be read on it, and 500 of them fit a phone. */
const LONG_EDGE = 2048
const QUALITY = 0.85
const TYPE = 'image/jpeg'
const INTENT = 'photo intent'

/** Why a picture did not become a photo of the book; `message` is ready for the screen. */
export class PhotoFailure extends Error {
  readonly code = 'photo_unreadable'

  constructor(cause: unknown) {
    super('This file is no picture that the phone can read. Take it again.', { cause })
    this.name = 'PhotoFailure'
  }
}

interface Small {
  bytes: ArrayBuffer
  width: number
  height: number
}

function fitted(width: number, height: number): [number, number] {
  const scale = Math.min(1, LONG_EDGE / Math.max(width, height))
  return [Math.max(1, Math.round(width * scale)), Math.max(1, Math.round(height * scale))]
}

async function drawn(image: ImageBitmap): Promise<Small> {
  const [width, height] = fitted(image.width, image.height)
  const canvas = document.createElement('canvas')
  Object.assign(canvas, { width, height })
  canvas.getContext('2d')?.drawImage(image, 0, 0, width, height)
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, TYPE, QUALITY))
  if (!blob) throw new Error('the canvas gave no picture')
  return { bytes: await blob.arrayBuffer(), width, height }
}

/** The picture drawn upright and smaller: what a camera hides beside it (place, time, name) does not come along. */
async function smaller(bytes: ArrayBuffer, type: string): Promise<Small> {
  try {
    const image = await createImageBitmap(new Blob([bytes], { type }), {
      imageOrientation: 'from-image',
    })
    return await drawn(image)
  } catch (error) {
    throw new PhotoFailure(error)
  }
}

async function enter(raw: Required<RawPhoto>): Promise<void> {
  const { bytes, width, height } = await smaller(raw.bytes, raw.type)
  const sha256 = await sha256OfBytes(bytes)
  const { build, step, place, caption, person } = raw.where
  const body = {
    v: 1,
    photo: { sha256, size: bytes.byteLength, type: TYPE, width, height },
    caption,
  }
  const trade_version = await tradeVersion()
  const entry = { build, kind: 'photo', step, place, why: null, body, person, trade_version }
  await record({ ...entry, photo: { row: { sha256, bytes, type: TYPE, sent: 0 }, raw: raw.key } })
}

/**
 * A file that is no picture is let go: it would be tried again at every start. What another tab has entered meanwhile
 * is done.
 */
async function enterOrLetGo(raw: Required<RawPhoto>): Promise<void> {
  try {
    await enter(raw)
  } catch (error) {
    if (error instanceof StoreFailure && error.code === 'entered_before') return
    if (error instanceof PhotoFailure) await dropRaw(raw.key)
    throw error
  }
}

/** Takes a picture into the book. Throws PhotoFailure or StoreFailure; after the latter it is tried again later. */
export async function takePhoto(file: Blob, where: PhotoPlace): Promise<void> {
  const bytes = await file.arrayBuffer()
  const key = await keepRaw(bytes, file.type, where)
  await enterOrLetGo({ key, bytes, type: file.type, where })
}

/** Enters what was left unfinished; what still cannot be entered stays. Returns how many were entered. */
async function finishPhotos(): Promise<number> {
  let entered = 0
  for (const raw of await rawPhotos()) {
    try {
      await enterOrLetGo(raw)
      entered += 1
    } catch {
      // It stays for the next start, or was no picture.
    }
  }
  return entered
}

/** Where the camera was opened for: a phone short of memory ends the page while its camera is open. */
export const photoIntent = {
  save: (where: PhotoPlace) => remember(INTENT, where),
  async drop(): Promise<void> {
    photoWanted.value = null
    await remember(INTENT, null)
  },
}

/** A camera was opened, and the page ended before its picture came: where the picture belongs. */
export const photoWanted = signal<PhotoPlace | null>(null)

/** At the start of a page: enters what was left unfinished, else says for what a camera was open. */
export async function takeUpPhotos(): Promise<void> {
  const wanted = await recall<PhotoPlace>(INTENT)
  const entered = await finishPhotos()
  if (entered > 0) await photoIntent.drop()
  else photoWanted.value = wanted
}

/** Addresses of this device's pictures: what the shop does not have yet, has, and does not take. */
export async function photoHomes(): Promise<{ here: string[]; shop: string[]; refused: string[] }> {
  const [here, shop, refused] = await Promise.all([
    photosMarked(0),
    photosMarked(1),
    Promise.all([photosMarked(2), photosMarked(3)]),
  ])
  return { here, shop, refused: refused.flat() }
}

/** A picture that was struck out: that the shop did not take it is nobody's trouble any more. */
export async function photoStruck(sha256: string): Promise<void> {
  if (!(await photosMarked(2)).includes(sha256)) return
  await markPhoto(sha256, 3)
  await recount()
}

const SHOWN_MOST = 60
/** Addresses of what is on the screen or was lately; each holds its picture in memory. */
const shown = new Map<string, string>()

function keepShown(name: string, blob: Blob): string {
  const url = URL.createObjectURL(blob)
  shown.set(name, url)
  const [oldest] = shown
  if (shown.size > SHOWN_MOST && oldest) {
    URL.revokeObjectURL(oldest[1])
    shown.delete(oldest[0])
  }
  return url
}

/** An address at which the page can show a photo: from this device, else from the shop; null when neither has it. */
export async function photoUrl(sha256: string, small = true): Promise<string | null> {
  const here = await photo(sha256)
  const name = here ? sha256 : `${sha256}/${small}`
  const known = shown.get(name)
  if (known) return known
  const blob = here
    ? new Blob([here.bytes], { type: here.type })
    : await fetchPhoto(sha256, small).catch(() => null)
  return blob ? keepShown(name, blob) : null
}
