/** This device's own entries on their way to the shop. A row is marked, never removed. */
import { touch } from './builds.ts'
import { announce } from './changes.ts'
import { read, type Writing, write } from './connection.ts'
import type { HeldReason, OwnRow, Sent } from './schema.ts'

export interface Counts {
  unsent: number
  sent: number
  safe: number
  held: number
  blobs: number
}

/** What the server said of one own entry. */
export interface Mark {
  device_no: number
  sent: Extract<Sent, 'sent' | 'held'>
  held: HeldReason | null
}

/** Own entries from number `from` on, at most `limit`, in their order. */
export function ownFrom(from: number, limit: number): Promise<OwnRow[]> {
  return read(['own'], (tx) => tx.objectStore('own').getAll(IDBKeyRange.lowerBound(from), limit))
}

/** The lowest number that the server has not answered yet; null when there is none. */
export async function firstUnsent(): Promise<number | null> {
  const key = await read(['own'], (tx) => tx.objectStore('own').index('sent').getKey('no'))
  return key ?? null
}

export function counts(): Promise<Counts> {
  return read(['own', 'blobs'], async (tx) => {
    const of = (sent: Sent) => tx.objectStore('own').index('sent').count(sent)
    const [unsent, sent, safe, held] = await Promise.all([
      of('no'),
      of('sent'),
      of('safe'),
      of('held'),
    ])
    const blobs = await tx.objectStore('blobs').index('uploaded').count(0)
    return { unsent, sent, safe, held, blobs }
  })
}

/** The hash that the server's book gives this device's last entry; null while it is not known. */
export async function lastOwnHash(): Promise<string | null> {
  const cursor = await read(['own'], (tx) => tx.objectStore('own').openCursor(null, 'prev'))
  return cursor?.value.hash ?? null
}

/** True when `mark` tells something new: an entry seen in a pull is safe whatever an answer says. */
function news(row: OwnRow | undefined, mark: Mark): row is OwnRow {
  return row !== undefined && row.sent !== 'safe' && row.sent !== mark.sent
}

/** The build whose entry moved on; null when the mark told nothing new. */
async function markRow(tx: Writing<'own' | 'builds'>, mark: Mark): Promise<string | null> {
  const row = await tx.objectStore('own').get(mark.device_no)
  if (!news(row, mark)) return null
  await tx.objectStore('own').put({ ...row, sent: mark.sent, held: mark.held })
  return row.build
}

/** Notes the server's answers. Returns how many of them told something new. */
export async function markAnswered(marks: Mark[]): Promise<number> {
  const moved = await write(['own', 'builds'], async (tx) => {
    const found = await Promise.all(marks.map((mark) => markRow(tx, mark)))
    const builds = found.filter((build) => build !== null)
    await touch(tx, new Set(builds))
    return builds
  })
  if (moved.length) announce({ builds: [...new Set(moved)] })
  return moved.length
}
