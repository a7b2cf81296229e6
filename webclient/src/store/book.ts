/** Reading a build's entries: the shop's by seq, then this device's own that the shop has not shown yet. */
import { answeredIn, inState, sentOf } from './answered.ts'
import { type Reading, read } from './connection.ts'
import type { Chunk, HeldReason, OwnRow, Sent } from './schema.ts'

export interface BookEntry {
  id: string
  build: string
  text: string
  /** The shop's order; null until a pull has shown the server's own record of it (LG7). */
  seq: number | null
  /** Only for entries that this device made or carries and that are not safe yet. */
  device_no: number | null
  /** Who made a carried entry; absent where it was this device. */
  device?: string
  sent: Sent
  held: HeldReason | null
}

const UNSAFE: Sent[] = ['no', 'sent', 'held']

export function ownEntry(row: OwnRow): BookEntry {
  const { id, build, text, seq, device_no, sent, held } = row
  return { id, build, text, seq, device_no, sent, held }
}

function pulledEntries(chunk: Chunk, build: string): BookEntry[] {
  return chunk.entries
    .filter((entry) => entry.build === build)
    .map(({ id, text, seq }) => ({
      id,
      build,
      text,
      seq,
      device_no: null,
      sent: 'safe',
      held: null,
    }))
}

type Unsafe = Reading<'chunks' | 'own' | 'carried' | 'device'>

async function ownRows(tx: Unsafe, build: string): Promise<OwnRow[]> {
  const index = tx.objectStore('own').index('build_sent')
  const answered = await answeredIn(tx)
  const rows = (await Promise.all(UNSAFE.map((sent) => index.getAll([build, sent])))).flat()
  return rows.map((row) => ({ ...row, sent: sentOf(row, answered) }))
}

/** What is carried for others, without what the book has already: the shop's record stands for it. */
async function carriedRows(tx: Unsafe, build: string, pulled: BookEntry[]): Promise<OwnRow[]> {
  const index = tx.objectStore('carried').index('build_sent')
  const rows = (await Promise.all(UNSAFE.map((sent) => index.getAll([build, sent])))).flat()
  if (!rows.length) return []
  const known = new Set(pulled.map(({ id }) => id))
  return rows.filter(({ id }) => !known.has(id))
}

function byNumber(a: OwnRow, b: OwnRow): number {
  return a.device_no - b.device_no || (a.id < b.id ? -1 : 1)
}

/** A build's entries in the order of the fold (LG11): pulled by seq, then own by device number. */
export function entriesOf(build: string): Promise<BookEntry[]> {
  return read(['chunks', 'own', 'carried', 'device'], async (tx) => {
    const chunks = await tx.objectStore('chunks').index('builds').getAll(build)
    const pulled = chunks.flatMap((chunk) => pulledEntries(chunk, build))
    const unsafe = [...(await ownRows(tx, build)), ...(await carriedRows(tx, build, pulled))]
    return [
      ...pulled.sort((a, b) => (a.seq ?? 0) - (b.seq ?? 0)),
      ...unsafe.sort(byNumber).map(ownEntry),
    ]
  })
}

/** Entries that the server keeps back, own ones first; they stay until a person deals with them (LG6). */
export function heldEntries(): Promise<BookEntry[]> {
  return read(['own', 'carried'], async (tx) => {
    const own = await tx.objectStore('own').index('sent_no').getAll(inState('held'))
    const carried = await tx.objectStore('carried').index('sent').getAll('held')
    return [
      ...own.map(ownEntry),
      ...carried.map((row) => ({ ...ownEntry(row), device: row.device })),
    ]
  })
}
