/** Which builds the book on this device knows, and a mark for each that is another one after every change. */
import { type Reading, read } from './connection.ts'
import { newId } from './ids.ts'
import type { BuildRow, Sent } from './schema.ts'

interface BuildsTable {
  objectStore(name: 'builds'): { put(row: BuildRow): Promise<unknown> }
}

const UNSAFE: Sent[] = ['no', 'sent', 'held']

/**
 * Notes, inside the transaction that changes them, that a pull or an answer changed these builds. A new mark
 * instead of a count: it takes no look at the old one, and no two tabs write the same.
 */
export async function touch(tx: BuildsTable, builds: Iterable<string>): Promise<void> {
  const mark = newId()
  const rows = [...builds].map((build) => ({ build, mark }))
  await Promise.all(rows.map((row) => tx.objectStore('builds').put(row)))
}

/** The number of a build's last own entry that no pull has shown; 0 when there is none. */
async function lastOwn(tx: Reading<'builds' | 'own'>, build: string): Promise<number> {
  const index = tx.objectStore('own').index('build_sent')
  const last = UNSAFE.map((sent) => index.openKeyCursor(IDBKeyRange.only([build, sent]), 'prev'))
  return Math.max(...(await Promise.all(last)).map((cursor) => cursor?.primaryKey ?? 0))
}

/** A new own entry moves the second half and leaves the table of builds alone: one write less on its way. */
async function markIn(tx: Reading<'builds' | 'own'>, build: string): Promise<string> {
  const [row, own] = await Promise.all([tx.objectStore('builds').get(build), lastOwn(tx, build)])
  return `${row?.mark ?? ''}/${own}`
}

async function buildsIn(tx: Reading<'builds' | 'own'>): Promise<string[]> {
  const pulled = await tx.objectStore('builds').getAllKeys()
  const own: string[] = []
  const index = tx.objectStore('own').index('build_sent')
  for (let at = await index.openKeyCursor(null, 'nextunique'); at; at = await at.continue()) {
    own.push(at.key[0])
  }
  return [...new Set([...pulled, ...own])].sort()
}

/** Ids of the builds in the book, oldest first (the ids begin with the time of their making). */
export function builds(): Promise<string[]> {
  return read(['builds', 'own'], buildsIn)
}

/** A text that is another one after every change of the build on this device. */
export function markOf(build: string): Promise<string> {
  return read(['builds', 'own'], (tx) => markIn(tx, build))
}

/** The marks of all builds in the book. */
export function marks(): Promise<Map<string, string>> {
  return read(['builds', 'own'], async (tx) => {
    const known = await buildsIn(tx)
    const found = await Promise.all(known.map((build) => markIn(tx, build)))
    return new Map(known.map((build, at) => [build, found[at] ?? '']))
  })
}
