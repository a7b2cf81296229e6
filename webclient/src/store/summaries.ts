/** The last judged state of each build, so that a cold start draws before the brain is up. */
import { marks } from './builds.ts'
import { read, write } from './connection.ts'
import type { Summary } from './schema.ts'

function save(summary: Summary): Promise<void> {
  return write(['summaries'], async (tx) => {
    await tx.objectStore('summaries').put(summary)
  })
}

async function load(build: string): Promise<Summary | null> {
  return (await read(['summaries'], (tx) => tx.objectStore('summaries').get(build))) ?? null
}

let early: Promise<Summary[]> | null = null

function readAll(): Promise<Summary[]> {
  return read(['summaries'], (tx) => tx.objectStore('summaries').getAll())
}

/** Opens the book and reads what a cold start draws, before anybody asks for it. */
export function openEarly(): void {
  early = readAll()
  // Whoever asks hears of the failure; nobody asking must not make it an unheard one.
  early.catch(() => undefined)
}

/** All that was kept, also what no longer fits: it is what a cold start draws. */
function all(): Promise<Summary[]> {
  const read = early ?? readAll()
  early = null
  return read
}

/** Builds that the given summaries do not show as the book has them now. */
async function stale(kept: Summary[], trade_version: string): Promise<string[]> {
  const now = await marks()
  const fresh = kept.filter(
    (one) => one.mark === now.get(one.build) && one.trade_version === trade_version,
  )
  const fits = new Set(fresh.map((one) => one.build))
  return [...now.keys()].filter((build) => !fits.has(build))
}

export const summaries = { save, load, all, stale }
