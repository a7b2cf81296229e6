/**
 * What this device had pulled and a restored server has no more: it is offered for whoever made it, since his phone may
 * be gone (LG9).
 */
import { touch } from './builds.ts'
import { announce } from './changes.ts'
import { read, type Writing, write } from './connection.ts'
import { identityIn } from './device.ts'
import { keep } from './lanes.ts'
import { type Chunk, HISTORY, type HistoryEntry } from './schema.ts'
import { sight } from './text.ts'

/** Pieces compared in one transaction: who records meanwhile, or dies, loses no long work. */
const BREATH = 10

type Table = 'chunks' | 'old_chunks' | 'own' | 'carried' | 'device' | 'builds'
const TABLES: Table[] = ['chunks', 'old_chunks', 'own', 'carried', 'device', 'builds']
type Comparing = Writing<Table>

/** Entries of a piece put aside that the book in its place does not have there. */
async function lostFrom(tx: Comparing, old: Chunk): Promise<HistoryEntry[]> {
  const now = await tx.objectStore('chunks').get(old.piece % HISTORY)
  const there = new Set(now?.entries.map(({ hash }) => hash))
  return old.entries.filter(({ hash }) => !there.has(hash))
}

/** The outbox has it and offers it itself. A twin of this phone may have written others under the same name. */
async function isOwn(tx: Comparing, number: number, text: string): Promise<boolean> {
  return (await tx.objectStore('own').get(number))?.text === text
}

/** The build of an entry that is carried from now on; null where it need not be. */
async function carryOn(tx: Comparing, entry: HistoryEntry, own: string): Promise<string | null> {
  const { id, build, text } = entry
  const { device, device_no } = sight(text)
  if (device === null || device_no === null) return null
  if (device === own && (await isOwn(tx, device_no, text))) return null
  const row = { device, device_no, id, build, text, sent: 'no' as const, held: null }
  return (await keep(tx, { ...row, seq: null, hash: null })) ? build : null
}

async function compare(tx: Comparing, old: Chunk): Promise<void> {
  const { device } = await identityIn(tx)
  const lost = await lostFrom(tx, old)
  const builds = await Promise.all(lost.map((entry) => carryOn(tx, entry, device)))
  await touch(tx, new Set(builds.filter((build) => build !== null)))
  await tx.objectStore('old_chunks').delete(old.piece)
}

async function compareSome(): Promise<number> {
  return write(TABLES, async (tx) => {
    const old = await tx.objectStore('old_chunks').getAll(null, BREATH)
    for (const chunk of old) await compare(tx, chunk)
    return old.length
  })
}

/** To be called when the book has come whole. Returns whether anything was put aside. */
export async function carryLost(): Promise<boolean> {
  const some = (await read(['old_chunks'], (tx) => tx.objectStore('old_chunks').count())) > 0
  if (!some) return false
  while ((await compareSome()) > 0);
  announce({ builds: [], all: true })
  return true
}
