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

/** All summaries, and which builds they no longer show as the book has them. */
async function loadAll(trade_version: string): Promise<{ summaries: Summary[]; stale: string[] }> {
  const now = await marks()
  const kept = await read(['summaries'], (tx) => tx.objectStore('summaries').getAll())
  const fresh = new Set(
    kept
      .filter((one) => one.mark === now.get(one.build) && one.trade_version === trade_version)
      .map((one) => one.build),
  )
  return { summaries: kept, stale: [...now.keys()].filter((build) => !fresh.has(build)) }
}

export const summaries = { save, load, loadAll }
