/** The last judged state of each build, so that a cold start draws before the brain is up. */
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

/** All summaries, and which of them no longer show what the book holds. */
function loadAll(trade_version: string): Promise<{ summaries: Summary[]; stale: string[] }> {
  return read(['summaries', 'builds'], async (tx) => {
    const summaries = await tx.objectStore('summaries').getAll()
    const builds = await tx.objectStore('builds').getAll()
    const fresh = new Map(summaries.map((s) => [s.build, s]))
    const stale = builds.filter(({ build, changes }) => {
      const known = fresh.get(build)
      return known?.changes !== changes || known.trade_version !== trade_version
    })
    return { summaries, stale: stale.map((row) => row.build) }
  })
}

export const summaries = { save, load, loadAll }
