/**
 * A browser for tests: storage that outlives its tabs, and tabs, each with modules of its own.
 *
 * A tab is a fresh copy of the client's modules over the same storage and locks, as two pages of one browser are.
 */
import 'fake-indexeddb/auto'
import { IDBFactory } from 'fake-indexeddb'
import { openDB } from 'idb'
import { vi } from 'vitest'
import { locks } from './locks.ts'

export type Store = typeof import('../store/index.ts')
export type Sync = typeof import('../sync/index.ts')

/** Forgets everything: a browser that never saw the app. */
export function freshBrowser(): void {
  clearBook()
  vi.stubGlobal('navigator', { locks })
  const small = new Map<string, string>()
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => small.get(key) ?? null,
    setItem: (key: string, text: string) => small.set(key, text),
  })
}

/** The browser clears the book's storage and leaves its own small store. */
export function clearBook(): void {
  vi.stubGlobal('indexedDB', new IDBFactory())
}

/** The storage as it is now, to be put back later or into another phone. */
export function disk(): IDBFactory {
  return globalThis.indexedDB as IDBFactory
}

/** A copy of a storage: what a backup of a phone, or a copied phone, holds. */
export async function copyOf(name: string): Promise<() => void> {
  const rows = await everything(name)
  return () => {
    vi.stubGlobal('indexedDB', new IDBFactory())
    restoring = rows
  }
}

type Rows = { store: string; keys: IDBValidKey[]; values: unknown[]; inline: boolean }[]
let restoring: Rows | null = null

async function everything(name: string): Promise<Rows> {
  const db = await openDB(name)
  const rows: Rows = []
  for (const store of db.objectStoreNames) {
    const inline = db.transaction(store).store.keyPath !== null
    rows.push({ store, keys: await db.getAllKeys(store), values: await db.getAll(store), inline })
  }
  db.close()
  return rows
}

/** Fills a storage that `copyOf` has emptied; the tables must have been made by a tab. */
export async function fill(name: string): Promise<void> {
  const db = await openDB(name)
  for (const { store, keys, values, inline } of restoring ?? []) {
    for (const [at, value] of values.entries())
      await db.put(store, value, inline ? undefined : keys[at])
  }
  db.close()
  restoring = null
}

export async function openTab(): Promise<Store> {
  vi.resetModules()
  return import('../store/index.ts')
}

/** A tab of the version after this one: its tables have a higher version. */
export async function openNewerTab(): Promise<Store> {
  vi.doMock('../store/schema.ts', async (original) => ({
    ...(await original<typeof import('../store/schema.ts')>()),
    VERSION: 3,
  }))
  const tab = await openTab()
  vi.doUnmock('../store/schema.ts')
  return tab
}

/** A tab with the way to the server; `signals` are the tab's own copies too. */
export async function openSyncTab() {
  vi.resetModules()
  const store = await import('../store/index.ts')
  const sync = await import('../sync/index.ts')
  const { talkOnce } = await import('../sync/round.ts')
  return { store, sync, talk: () => talkOnce('test') }
}

export const BUILD = '01890000-0000-7000-8000-000000000001'
export const OTHER_BUILD = '01890000-0000-7000-8000-000000000002'

export function reading(text = '2.4483', build = BUILD) {
  return {
    build,
    kind: 'reading',
    step: 'main_journals',
    place: 'journal.1.front',
    why: 'first',
    body: { v: 1, value: { text, unit: 'in' }, note: '' },
    person: 'p1',
    trade_version: 'test',
  }
}
