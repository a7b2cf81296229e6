import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import { freshBrowser, openSyncTab, reading } from '../testing/device.ts'
import { FakeShop } from '../testing/shop.ts'
import { waitAfter } from './backoff.ts'

let shop: FakeShop

// An expectation that fails says so before the test's own time is over.
vi.setConfig({ testTimeout: 20_000 })

beforeEach(() => {
  vi.unstubAllGlobals()
  freshBrowser()
  shop = new FakeShop()
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
})

afterEach(() => {
  vi.useRealTimers()
})

async function startedTab(mode: 'stand' | 'desk') {
  const tab = await openSyncTab()
  tab.sync.useFetch(shop.fetch)
  tab.sync.startSync(mode, '0.1.0')
  await settled(() => shop.pulls.length === 1)
  return tab
}

async function settled(what: () => boolean): Promise<void> {
  // A busy machine may take a while over one talk, and the next look is counted from its end.
  await vi.waitFor(() => expect(what()).toBe(true), { timeout: 4_500 })
}

it('talks at the start', async () => {
  await startedTab('stand')
  expect(shop.pulls).toHaveLength(1)
})

it('sends a new entry without being asked, several in one batch', async () => {
  const { store, sync } = await startedTab('stand')
  await store.record(reading('1'))
  await store.record(reading('2'))
  await vi.advanceTimersByTimeAsync(300)
  await settled(() => sync.strip.value.allSafe && sync.strip.value.safe === 2)
  expect(shop.pushes.map((push) => push.entries.length)).toEqual([2])
})

it('the desk looks every 3 s', async () => {
  await startedTab('desk')
  await vi.advanceTimersByTimeAsync(3_050)
  await settled(() => shop.pulls.length === 2)
})

it('tries again by itself after a failure, and everything arrives', async () => {
  const { store, sync } = await startedTab('stand')
  shop.trouble = () => 'cut request'
  await store.record(reading())
  await vi.advanceTimersByTimeAsync(300)
  await settled(() => sync.strip.value.unsent === 1 && !sync.strip.value.online)
  shop.trouble = () => null
  await vi.advanceTimersByTimeAsync(2_100)
  await settled(() => sync.strip.value.safe === 1)
})

it('a wish during a talk makes one more talk', async () => {
  const { store, sync } = await startedTab('stand')
  const first = sync.syncNow()
  await store.record(reading())
  await Promise.all([first, sync.syncNow()])
  await settled(() => sync.strip.value.safe === 1)
})

it('an entry that comes while a talk is ending does not wait for the next look', async () => {
  const { store, sync } = await startedTab('stand')
  let release = () => {}
  const gate = new Promise<void>((open) => {
    release = open
  })
  sync.useFetch(async (url, init) => {
    await gate
    return shop.fetch(url, init)
  })
  const talk = sync.syncNow()
  await vi.waitFor(() => store.counts())
  await store.record(reading())
  // The talk ends and plans the next one before the entry's own breath is over.
  release()
  await talk
  await vi.advanceTimersByTimeAsync(300)
  await settled(() => sync.strip.value.safe === 1)
})

it('waits twice as long after each miss, up to two minutes, never in step with others', () => {
  expect([1, 2, 3, 20].map((misses) => [waitAfter(misses, 0), waitAfter(misses, 1)])).toEqual([
    [1_000, 2_000],
    [2_000, 4_000],
    [4_000, 8_000],
    [60_000, 120_000],
  ])
})
