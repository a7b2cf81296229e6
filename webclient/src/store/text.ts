/**
 * An entry's text: made once, here, and never made again (LG2).
 *
 * Everybody afterwards hands on these very bytes, because JavaScript and Python write the same number
 * in different ways.
 */
import { StoreFailure } from './failure.ts'

/** Bytes of UTF-8 that one entry may have. */
export const MAX_BYTES = 32 * 1024

export interface EntryFields {
  id: string
  build: string
  kind: string
  step: string | null
  place: string | null
  why: string | null
  body: object
  person: string
  device: string
  device_no: number
  made_at: string
  seen: number
  trade_version: string
}

/** NUL, and half a surrogate pair: neither survives every store on the way. */
const UNSTORABLE = /[\0\p{Surrogate}]/u

function checked(_key: string, value: unknown): unknown {
  if (typeof value === 'string' && UNSTORABLE.test(value)) throw new StoreFailure('bad_text')
  return value
}

/** The entry as JSON text in NFC; throws StoreFailure when it cannot be kept as it stands. */
export function entryText(fields: EntryFields): string {
  const text = JSON.stringify(fields, checked).normalize('NFC')
  if (new TextEncoder().encode(text).length > MAX_BYTES) throw new StoreFailure('too_large')
  return text
}

/** What the client needs to know of a text that it did not make; null where the text does not say. */
export interface Sighted {
  id: string | null
  build: string | null
  kind: string | null
  person: string | null
  device: string | null
  device_no: number | null
}

const UNREADABLE: Sighted = {
  id: null,
  build: null,
  kind: null,
  person: null,
  device: null,
  device_no: null,
}

function stringOf(value: unknown): string | null {
  return typeof value === 'string' ? value : null
}

/** How every text of ours begins; see `entryText`. No name comes twice in a book: the shop keeps such texts back. */
const OURS = /^\{"id":"([\w-]{1,64})","build":"([\w-]{1,64})","kind":"/

/** The same two names as `sight` gives, without reading the rest of a text that this app wrote: a fifth of the time. */
export function idAndBuild(text: string): Pick<Sighted, 'id' | 'build'> {
  const [, id, build] = OURS.exec(text) ?? []
  return id && build ? { id, build } : sight(text)
}

/** Reads names out of any text; what we do not understand is still kept whole (LG12). */
export function sight(text: string): Sighted {
  try {
    const fields = JSON.parse(text) as Record<string, unknown>
    return {
      id: stringOf(fields.id),
      build: stringOf(fields.build),
      kind: stringOf(fields.kind),
      person: stringOf(fields.person),
      device: stringOf(fields.device),
      device_no: typeof fields.device_no === 'number' ? fields.device_no : null,
    }
  } catch {
    return UNREADABLE
  }
}
