/**
 * Entries from phone to phone, or to the desk, by file: for a phone that will not reach the shop any more.
 *
 * The file holds the entries as they were written, with the texts and photos that they name. Whoever takes it in
 * offers them to the shop for the phone that made them; what is there already changes nothing (LG3).
 */
import {
  blobsToSend,
  type CarriedRow,
  carriedDevices,
  carriedFrom,
  carry,
  carryPhoto,
  type EntryProof,
  firstUnshown,
  identity,
  keepTextToSend,
  leaveIdentity,
  type OwnRow,
  ownFrom,
  photo,
  photosToSend,
  rowAt,
  sha256,
  sha256OfBytes,
  sight,
  writerIn,
} from '../store/index.ts'

const KIND = 'handover'
const VERSION = 1
const MOST = 100_000

interface Written {
  device: string
  device_no: number
  text: string
  proof?: EntryProof
}

interface Content {
  standbook: string
  v: number
  from: string
  made_at: string
  entries: Written[]
  blobs: { sha256: string; text: string }[]
  photos: { sha256: string; type: string; base64: string }[]
}

const WORDS = {
  not_ours:
    'This is no file that Standbook has written. Choose the one that ends in .standbook.json.',
  damaged:
    'This file is damaged: a part of it is missing or changed. Write it again on the phone it came from.',
  newer: 'This file was written by a newer version of Standbook. Update this one first.',
}

/** Why a file was not taken in; nothing of it was then. `message` is ready for the screen. */
export class HandoverFailure extends Error {
  readonly code: keyof typeof WORDS

  constructor(code: keyof typeof WORDS, cause?: unknown) {
    super(WORDS[code], { cause })
    this.name = 'HandoverFailure'
    this.code = code
  }
}

/** The proof of a signature goes along: only the shop can open it. */
function writtenOf({ device_no, text, proof }: OwnRow, device: string): Written {
  return { device, device_no, text, ...(proof && { proof }) }
}

/** Also what the shop has answered and not yet shown: an answer alone makes nothing safe (LG7). */
async function unsentOwn(): Promise<Written[]> {
  const { device } = await identity()
  const from = await firstUnshown()
  const rows = from === null ? [] : await ownFrom(from, MOST)
  return rows.map((row) => writtenOf(row, device))
}

async function unsentCarried(): Promise<Written[]> {
  const found: Written[] = []
  for (const { device, from } of await carriedDevices()) {
    for (const row of await carriedFrom(device, from, MOST)) {
      found.push(writtenOf(row, writerIn(device)))
    }
  }
  return found
}

function base64Of(bytes: ArrayBuffer): string {
  const piece = 32_768
  let text = ''
  for (let at = 0; at < bytes.byteLength; at += piece) {
    text += String.fromCharCode(...new Uint8Array(bytes.slice(at, at + piece)))
  }
  return btoa(text)
}

function bytesOf(base64: string): ArrayBuffer {
  return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0)).buffer
}

async function unsentPhotos(): Promise<Content['photos']> {
  const found: Content['photos'] = []
  for (const hash of await photosToSend()) {
    const row = await photo(hash)
    if (row) found.push({ sha256: hash, type: row.type, base64: base64Of(row.bytes) })
  }
  return found
}

/** Everything that the shop has not shown to have, as a file to be handed on. Nothing is taken off this device. */
export async function exportUnsent(): Promise<{
  name: string
  file: Blob
  entries: number
  photos: number
}> {
  const made_at = new Date().toISOString()
  const content: Content = {
    standbook: KIND,
    v: VERSION,
    from: (await identity()).device,
    made_at,
    entries: [...(await unsentOwn()), ...(await unsentCarried())],
    blobs: await blobsToSend(),
    photos: await unsentPhotos(),
  }
  const text = JSON.stringify(content)
  const seal = await sha256(text)
  const file = new Blob([`${text.slice(0, -1)},"sha256":"${seal}"}`], { type: 'application/json' })
  const name = `unsent-${made_at.slice(0, 16).replaceAll(':', '-')}.standbook.json`
  return { name, file, entries: content.entries.length, photos: content.photos.length }
}

const SEAL = /,"sha256":"([0-9a-f]{64})"\}$/

/** The file's content, when it is whole and ours. Throws HandoverFailure. */
async function opened(text: string): Promise<Content> {
  const seal = SEAL.exec(text)
  const inside = seal ? `${text.slice(0, seal.index)}}` : text
  const content = parsed(inside)
  if (content?.standbook !== KIND) throw new HandoverFailure('not_ours')
  if (!seal || (await sha256(inside)) !== seal[1]) throw new HandoverFailure('damaged')
  if (content.v !== VERSION) throw new HandoverFailure('newer')
  return content
}

function parsed(text: string): Content | null {
  try {
    return JSON.parse(text) as Content
  } catch {
    // A file that was cut short begins like one of ours.
    if (text.startsWith(`{"standbook":"${KIND}"`)) throw new HandoverFailure('damaged')
    return null
  }
}

/** A proof of another form would make the shop refuse the whole push. */
function isProof({ person, sealed }: Partial<EntryProof>): boolean {
  return typeof person === 'string' && typeof sealed === 'string'
}

function rowOf({ device, device_no, text, proof }: Written): CarriedRow {
  if (proof && !isProof(proof)) throw new HandoverFailure('damaged')
  const said = sight(text)
  if (said.device !== device || said.device_no !== device_no) throw new HandoverFailure('damaged')
  const about = { id: said.id ?? '', build: said.build ?? '', text, seq: null, hash: null }
  return { device, device_no, ...about, sent: 'no', held: null, ...(proof && { proof }) }
}

async function takePhotos(content: Content): Promise<void> {
  for (const { sha256: hash, type, base64 } of content.photos) {
    const bytes = bytesOf(base64)
    if ((await sha256OfBytes(bytes)) !== hash) throw new HandoverFailure('damaged')
    await carryPhoto({ sha256: hash, bytes, type, sent: 0 })
  }
}

/**
 * Which entries of a file are no own ones. One that bears this device's name and is not the own one of that number shows
 * that the identity is on another phone too, or was set back: it is left, and all are carried (LG4).
 */
async function notOwn(rows: CarriedRow[]): Promise<CarriedRow[]> {
  const { device } = await identity()
  const mine = rows.filter((row) => row.device === device)
  for (const { device_no, text } of mine) {
    const own = await rowAt({ device: null, device_no })
    if (own?.text === text) continue
    await leaveIdentity()
    return rows
  }
  return rows.filter((row) => row.device !== device)
}

/** Takes a file in. `already`: entries that were here before. Throws HandoverFailure or StoreFailure. */
export async function importFile(
  file: Blob,
): Promise<{ entries: number; photos: number; already: number }> {
  const content = await opened(await file.text())
  const rows = content.entries.map(rowOf)
  // Files first: an entry never lies here without what it names.
  await takePhotos(content)
  for (const blob of content.blobs) await keepTextToSend(blob.sha256, blob.text)
  const entries = await carry(await notOwn(rows))
  return { entries, photos: content.photos.length, already: content.entries.length - entries }
}
