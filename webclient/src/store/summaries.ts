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

/** All that was kept, also what no longer fits: it is what a cold start draws. */
function all(): Promise<Summary[]> {
  return read(['summaries'], (tx) => tx.objectStore('summaries').getAll())
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
