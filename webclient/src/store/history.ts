/**
 * The shop's book on this device: pieces of 200 by seq, the cursor moved in the same transaction.
 *
 * seq has no gaps, so the number of entries here must equal the cursor (LG7); where it does not, the
 * history is dropped and pulled again, and the outbox stays.
 */
import { takeBackFrom } from './answered.ts'
import { touch } from './builds.ts'
import { announce } from './changes.ts'
import { read, type Writing, write } from './connection.ts'
import { cursorIn, identityIn, putCursor } from './device.ts'
import { letGo } from './lanes.ts'
import { type Aside, offerEntries, offerFiles, offerRest } from './offering.ts'
import {
  CHUNK,
  type Chunk,
  type Cursor,
  HISTORY,
  type HistoryEntry,
  type OwnRow,
} from './schema.ts'
import { idAndBuild, sight } from './text.ts'

/** An entry as a pull brings it. */
export interface Pulled {
  seq: number
  received_at: string
  prev: string
  hash: string
  text: string
}

type Tables = 'chunks' | 'device' | 'own' | 'carried' | 'builds'
const TABLES: Tables[] = ['chunks', 'device', 'own', 'carried', 'builds']

function withNames({ seq, received_at, prev, hash, text }: Pulled): HistoryEntry {
  const { id, build } = idAndBuild(text)
  return { seq, received_at, prev, hash, id: id ?? '', build: build ?? '', text }
}

/** The entries after `cursor`, when they follow it without a gap and on the same chain; else null. */
function following(cursor: Cursor, entries: Pulled[]): Pulled[] | null {
  const fresh = entries.filter((entry) => entry.seq > cursor.after)
  let { after, hash } = cursor
  for (const entry of fresh) {
    if (entry.seq !== after + 1 || (hash !== null && entry.prev !== hash)) return null
    after = entry.seq
    hash = entry.hash
  }
  return fresh
}

async function appendTo(
  tx: Writing<Tables>,
  piece: number,
  entries: HistoryEntry[],
): Promise<void> {
  const begins = entries[0]?.seq === piece * CHUNK + 1
  const known = begins ? undefined : await tx.objectStore('chunks').get(piece)
  const whole = [...(known?.entries ?? []), ...entries]
  const builds = [...new Set(whole.map((entry) => entry.build))]
  const chunk: Chunk = { piece, size: whole.length, builds, entries: whole }
  await tx.objectStore('chunks').put(chunk)
}

function byPiece(entries: HistoryEntry[]): Map<number, HistoryEntry[]> {
  const pieces = new Map<number, HistoryEntry[]>()
  for (const entry of entries) {
    const piece = Math.floor((entry.seq - 1) / CHUNK)
    const part = pieces.get(piece) ?? []
    part.push(entry)
    pieces.set(piece, part)
  }
  return pieces
}

/** An own entry is safe when the server's record has the very bytes that this device wrote (LG7). */
function settled(row: OwnRow, entry: HistoryEntry): OwnRow {
  const { seq, hash } = entry
  if (row.text === entry.text) return { ...row, sent: 'safe', held: null, seq, hash }
  // The book has other words under this number. Ours are offered, so that the shop keeps both and says so (LG4).
  return row.sent === 'held' || row.sent === 'dealt' ? row : { ...row, sent: 'no' }
}

/** Rows of these numbers; numbers of one page lie close together. */
async function rowsOf(tx: Writing<Tables>, numbers: number[]): Promise<Map<number, OwnRow>> {
  if (!numbers.length) return new Map()
  const range = IDBKeyRange.bound(Math.min(...numbers), Math.max(...numbers))
  const rows = await tx.objectStore('own').getAll(range)
  return new Map(rows.map((row) => [row.device_no, row]))
}

/** The entries of this device by its number; those of others are not even read. */
function ownIn(entries: HistoryEntry[], device: string): Map<number, HistoryEntry> {
  const own = new Map<number, HistoryEntry>()
  for (const entry of entries) {
    if (!entry.text.includes(device)) continue
    const said = sight(entry.text)
    if (said.device === device && said.device_no !== null) own.set(said.device_no, entry)
  }
  return own
}

async function settleOwn(tx: Writing<Tables>, entries: HistoryEntry[]): Promise<void> {
  const counted = tx.objectStore('carried').count()
  const [{ device }, carrying] = await Promise.all([identityIn(tx), counted])
  const own = ownIn(entries, device)
  const rows = await rowsOf(tx, [...own.keys()])
  const after = [...own].flatMap(([number, entry]) => {
    const row = rows.get(number)
    return row ? [settled(row, entry)] : []
  })
  await Promise.all(after.map((row) => tx.objectStore('own').put(row)))
  const offered = after.filter((row) => row.sent === 'no').map((row) => row.device_no)
  if (offered.length) await takeBackFrom(tx, Math.min(...offered))
  if (carrying === 0) return
  await Promise.all(entries.map((entry) => settleCarried(tx, entry)))
}

/** A carried entry that the book has is carried no more. */
async function settleCarried(tx: Writing<Tables>, entry: HistoryEntry): Promise<void> {
  const { device, device_no } = sight(entry.text)
  if (device === null || device_no === null) return
  await letGo(tx, { ...entry, device, device_no })
}

/** Also of an empty page the epoch is kept: photos may be at a shop whose book has nothing yet. */
function cursorAfter(cursor: Cursor, epoch: string, last: HistoryEntry | undefined): Cursor | null {
  if (last) return { epoch, after: last.seq, hash: last.hash }
  return cursor.epoch === epoch ? null : { ...cursor, epoch }
}

async function storePage(
  tx: Writing<Tables>,
  cursor: Cursor,
  epoch: string,
  fresh: Pulled[],
): Promise<string[]> {
  const entries = fresh.map(withNames)
  const moved = cursorAfter(cursor, epoch, entries.at(-1))
  const builds = [...new Set(entries.map((entry) => entry.build))].filter((build) => build !== '')
  // All at once: the disk need not wait for this page between one piece and the next.
  const pieces = [...byPiece(entries)].map(([piece, part]) => appendTo(tx, piece, part))
  await Promise.all([
    ...pieces,
    settleOwn(tx, entries),
    touch(tx, builds),
    moved && putCursor(tx, moved),
  ])
  return builds
}

/**
 * Stores a pulled page. False when it does not follow what is here (another tab was quicker, or the
 * server skipped): nothing is stored then.
 */
export async function appendPage(epoch: string, entries: Pulled[]): Promise<boolean> {
  const builds = await write(TABLES, async (tx) => {
    const cursor = await cursorIn(tx)
    if (cursor.epoch !== null && cursor.epoch !== epoch) return null
    const fresh = following(cursor, entries)
    return fresh ? storePage(tx, cursor, epoch, fresh) : null
  })
  if (builds?.length) announce({ builds })
  return builds !== null
}

/** Without own entries: moving a long book takes seconds, and an entry must not wait for that. */
const ASIDE: Aside[] = ['chunks', 'old_chunks', 'device', 'carried', 'builds', 'blobs', 'photos']

/** The history is put aside until it has been compared with the book that takes its place. */
async function putAside(tx: Writing<Aside>): Promise<void> {
  const last = await tx.objectStore('old_chunks').openKeyCursor(null, 'prev')
  const shift = last ? (Math.floor(last.key / HISTORY) + 1) * HISTORY : 0
  for (let at = await tx.objectStore('chunks').openCursor(); at; at = await at.continue()) {
    await tx.objectStore('old_chunks').put({ ...at.value, piece: at.value.piece + shift })
  }
  await tx.objectStore('chunks').clear()
}

/** Puts the pulled history aside, keeps the outbox and offers every own entry, text and photo again (LG9). */
export async function startOver(epoch: string | null): Promise<void> {
  await write(ASIDE, async (tx) => {
    await putAside(tx)
    await putCursor(tx, { epoch, after: 0, hash: null })
    await offerEntries(tx)
    await offerFiles(tx)
    await touch(tx, await tx.objectStore('builds').getAllKeys())
  })
  await offerRest()
  announce({ builds: [], all: true })
}

/** True when as many entries are here as the cursor says (LG7). */
export function complete(): Promise<boolean> {
  return read(['chunks', 'device'], async (tx) => {
    const { after } = await cursorIn(tx)
    const chunks = tx.objectStore('chunks')
    const full = await chunks.index('size').count(CHUNK)
    const last = after % CHUNK === 0 ? undefined : await chunks.get(Math.floor(after / CHUNK))
    const pieces = await chunks.count()
    return full === Math.floor(after / CHUNK) && (last?.size ?? 0) === after % CHUNK
      ? pieces === Math.ceil(after / CHUNK)
      : false
  })
}
