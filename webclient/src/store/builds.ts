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

type Look = Reading<'builds' | 'own'>

/** The number of a build's last own entry in that state; 0 when there is none. */
async function lastAs(tx: Look, build: string, sent: Sent): Promise<number> {
  const index = tx.objectStore('own').index('build_sent')
  return (await index.openKeyCursor(IDBKeyRange.only([build, sent]), 'prev'))?.primaryKey ?? 0
}

/** The number of a build's last own entry that no pull has shown; 0 when there is none. */
async function lastOwn(tx: Look, build: string, states: Sent[]): Promise<number> {
  return Math.max(0, ...(await Promise.all(states.map((sent) => lastAs(tx, build, sent)))))
}

/** A new own entry moves the second half and leaves the table of builds alone: one write less on its way. */
async function markIn(tx: Look, build: string, states = UNSAFE): Promise<string> {
  const row = tx.objectStore('builds').get(build)
  const [known, own] = await Promise.all([row, lastOwn(tx, build, states)])
  return `${known?.mark ?? ''}/${own}`
}

/**
 * Builds of own entries that no pull has shown, with the states that theirs are in. Leaps from key to key: a cursor
 * that only leaves out what is alike would walk over every entry of a long life.
 */
async function ownStates(tx: Look): Promise<Map<string, Sent[]>> {
  const found = new Map<string, Sent[]>()
  let at = await tx.objectStore('own').index('build_sent').openKeyCursor()
  while (at) {
    const [build, sent] = at.key
    const states = found.get(build) ?? []
    if (UNSAFE.includes(sent)) found.set(build, [...states, sent])
    at = await at.continue([build, `${sent}\0` as Sent])
  }
  return found
}

async function marksIn(tx: Look): Promise<Map<string, string>> {
  const [pulled, own] = [await tx.objectStore('builds').getAllKeys(), await ownStates(tx)]
  const known = [...new Set([...pulled, ...own.keys()])].sort()
  const found = await Promise.all(known.map((build) => markIn(tx, build, own.get(build) ?? [])))
  return new Map(known.map((build, at) => [build, found[at] ?? '']))
}

async function buildsIn(tx: Look): Promise<string[]> {
  const [pulled, own] = [await tx.objectStore('builds').getAllKeys(), await ownStates(tx)]
  return [...new Set([...pulled, ...own.keys()])].sort()
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
  return read(['builds', 'own'], marksIn)
}
