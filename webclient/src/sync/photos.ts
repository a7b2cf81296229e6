/**
 * Photos on their way to the shop, apart from the entries that name them: in pieces, and after a cut on from where
 * the shop says it is (LG13). Header names and meaning: IETF draft "Resumable Uploads for HTTP".
 */
import { markPhoto, type PhotoRow, photo, photosToSend, sha256OfBytes } from '../store/index.ts'
import { NoContact, ServerFailure } from './failure.ts'
import { bytesAt, headersAt } from './http.ts'

const PIECE = 256 * 1024
const OFFSET = 'upload-offset'
const COMPLETE = 'upload-complete'
/** What no other try will change: the shop does not take these bytes for a photo. */
const REFUSED = new Set(['photo_unreadable', 'photo_too_large', 'too_large'])
/** A shop that keeps saying that it has something else is not argued with: the next talk asks again. */
const MOST_IN_VAIN = 3

interface Come {
  offset: number
  complete: boolean
}

const NOTHING: Come = { offset: 0, complete: false }

function pathOf(sha256: string): string {
  return `/photos/${sha256}`
}

/** Without our own headers it is somebody else who answers. */
function comeIn(headers: Headers): Come {
  const offset = Number(headers.get(OFFSET) ?? Number.NaN)
  if (!Number.isInteger(offset)) throw new NoContact('not_the_shop')
  return { offset, complete: headers.get(COMPLETE) === '?1' }
}

async function comeSoFar(sha256: string): Promise<Come> {
  const headers = await headersAt(pathOf(sha256), { method: 'HEAD' })
  return headers ? comeIn(headers) : NOTHING
}

async function sendPiece(row: PhotoRow, from: number): Promise<Come> {
  const data = row.bytes.slice(from, from + PIECE)
  const last = from + data.byteLength >= row.bytes.byteLength
  const headers = {
    'content-type': 'application/partial-upload',
    [OFFSET]: String(from),
    [COMPLETE]: last ? '?1' : '?0',
  }
  const answer = await headersAt(pathOf(row.sha256), { method: 'PATCH', bytes: { data, headers } })
  if (!answer) throw new NoContact('not_the_shop')
  return comeIn(answer)
}

/** The shop's own count when it has another one than we thought; else the failure goes on. */
function corrected(error: unknown): Come {
  const offset = error instanceof ServerFailure ? error.details.offset : null
  if (!Number.isInteger(offset) || Number(offset) < 0) throw error
  return { offset: Number(offset), complete: false }
}

async function sendOne(row: PhotoRow): Promise<void> {
  let come = await comeSoFar(row.sha256)
  for (let inVain = 0; !come.complete && inVain < MOST_IN_VAIN; ) {
    const { offset } = come
    come = await sendPiece(row, Math.min(offset, row.bytes.byteLength)).catch(corrected)
    // All bytes are there and it does not say that they are whole: asking on would never end.
    if (come.offset <= offset) inVain += 1
  }
  if (come.complete) await markPhoto(row.sha256, 1)
}

/** The bytes are not those that were entered: the disk has spoilt them, and no other try brings them back. */
async function isSpoilt(row: PhotoRow): Promise<boolean> {
  return (await sha256OfBytes(row.bytes)) !== row.sha256
}

async function isHopeless(error: unknown, row: PhotoRow): Promise<boolean> {
  if (!(error instanceof ServerFailure)) return false
  return REFUSED.has(error.code) || (error.code === 'hash_mismatch' && (await isSpoilt(row)))
}

async function sendOrRefuse(row: PhotoRow): Promise<void> {
  try {
    await sendOne(row)
  } catch (error) {
    if (!(await isHopeless(error, row))) throw error
    await markPhoto(row.sha256, 2)
  }
}

/** Sends every photo that the shop has not confirmed. One that it has trouble with holds up none behind it. */
export async function sendPhotos(): Promise<void> {
  let trouble: ServerFailure | null = null
  for (const sha256 of await photosToSend()) {
    const row = await photo(sha256)
    try {
      if (row) await sendOrRefuse(row)
    } catch (error) {
      if (!(error instanceof ServerFailure)) throw error
      trouble = error
    }
  }
  if (trouble) throw trouble
}

/** A photo as the shop has it, or its small copy; null when it does not have it. */
export function fetchPhoto(sha256: string, small: boolean): Promise<Blob | null> {
  return bytesAt(`${pathOf(sha256)}${small ? '?small=1' : ''}`, 'image/jpeg')
}
