/** Reading a build's entries: the shop's by seq, then this device's own that the shop has not shown yet. */
import { type Reading, read } from './connection.ts'
import type { Chunk, HeldReason, OwnRow, Sent } from './schema.ts'

export interface BookEntry {
  id: string
  build: string
  text: string
  /** The shop's order; null until a pull has shown the server's own record of it (LG7). */
  seq: number | null
  /** Only for this device's own entries that are not safe yet. */
  device_no: number | null
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

async function ownRows(tx: Reading<'chunks' | 'own'>, build: string): Promise<OwnRow[]> {
  const index = tx.objectStore('own').index('build_sent')
  const found = await Promise.all(UNSAFE.map((sent) => index.getAll([build, sent])))
  return found.flat().sort((a, b) => a.device_no - b.device_no)
}

/** A build's entries in the order of the fold (LG11): pulled by seq, then own by device number. */
export function entriesOf(build: string): Promise<BookEntry[]> {
  return read(['chunks', 'own'], async (tx) => {
    const chunks = await tx.objectStore('chunks').index('builds').getAll(build)
    const own = await ownRows(tx, build)
    const pulled = chunks.flatMap((chunk) => pulledEntries(chunk, build))
    return [...pulled.sort((a, b) => (a.seq ?? 0) - (b.seq ?? 0)), ...own.map(ownEntry)]
  })
}

/** Own entries that the server keeps back, oldest first; they stay until a person deals with them (LG6). */
export async function heldEntries(): Promise<BookEntry[]> {
  const rows = await read(['own'], (tx) => tx.objectStore('own').index('sent').getAll('held'))
  return rows.map(ownEntry)
}
