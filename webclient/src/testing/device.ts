/**
 * A browser for tests: storage that outlives its tabs, and tabs, each with modules of its own.
 *
 * A tab is a fresh copy of the client's modules over the same storage and locks, as two pages of one browser are.
 */
import 'fake-indexeddb/auto'
import { IDBFactory } from 'fake-indexeddb'
import { vi } from 'vitest'
import { locks } from './locks.ts'

export type Store = typeof import('../store/index.ts')
export type Sync = typeof import('../sync/index.ts')

/** Forgets everything: a browser that never saw the app. */
export function freshBrowser(): void {
  vi.stubGlobal('indexedDB', new IDBFactory())
  vi.stubGlobal('navigator', { locks })
}

export async function openTab(): Promise<Store> {
  vi.resetModules()
  return import('../store/index.ts')
}

/** A tab of the version after this one: its tables have a higher version. */
export async function openNewerTab(): Promise<Store> {
  vi.doMock('../store/schema.ts', async (original) => ({
    ...(await original<typeof import('../store/schema.ts')>()),
    VERSION: 2,
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
