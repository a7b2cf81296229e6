/** Which builds the book on this device knows, and how often each has changed. */
import { read } from './connection.ts'
import type { BuildRow } from './schema.ts'

interface BuildsTable {
  objectStore(name: 'builds'): {
    get(key: string): Promise<BuildRow | undefined>
    put(row: BuildRow): Promise<unknown>
  }
}

/** Notes, inside the transaction that changes them, that these builds have changed. */
export async function touch(tx: BuildsTable, builds: Iterable<string>): Promise<void> {
  const table = tx.objectStore('builds')
  for (const build of builds) {
    const known = await table.get(build)
    await table.put({ build, changes: (known?.changes ?? 0) + 1 })
  }
}

/** Ids of the builds in the book, oldest first (the ids begin with the time of their making). */
export function builds(): Promise<string[]> {
  return read(['builds'], (tx) => tx.objectStore('builds').getAllKeys())
}

/** How often a build has changed on this device; 0 when it is not here. */
export async function changesOf(build: string): Promise<number> {
  const row = await read(['builds'], (tx) => tx.objectStore('builds').get(build))
  return row?.changes ?? 0
}
