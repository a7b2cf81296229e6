/** A phone with a long life: what is done at every entry and every start must not read all of it. */
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILD, OTHER_BUILD, reading } from '../testing/device.ts'
import type { FakeShop } from '../testing/shop.ts'
import { firstTab, type Tab } from '../testing/tab.ts'

let shop: FakeShop
let tab: Tab

beforeEach(async () => {
  ;({ shop, tab } = await firstTab())
})

/** Own entries that the shop has shown, then some that it has not. */
async function life(safe: number, unsent: number): Promise<void> {
  for (let n = 0; n < safe; n++) await tab.store.record(reading())
  await tab.talk()
  for (let n = 0; n < unsent; n++) await tab.store.record(reading('2.5', OTHER_BUILD))
}

/** How many steps the cursors over indexes take while `work` runs. */
async function stepsOf(work: () => Promise<unknown>): Promise<number> {
  let steps = 0
  const open = IDBIndex.prototype.openKeyCursor
  vi.spyOn(IDBIndex.prototype, 'openKeyCursor').mockImplementation(function (
    this: IDBIndex,
    ...words
  ) {
    const request = open.apply(this, words)
    request.addEventListener('success', () => {
      steps += 1
    })
    return request
  })
  await work()
  vi.restoreAllMocks()
  return steps
}

describe('a long life', () => {
  it('LG7: is counted by its last number, without a look at what is safe', async () => {
    await life(12, 3)
    const asked = vi.spyOn(IDBIndex.prototype, 'count')
    expect(await tab.store.counts()).toMatchObject({ safe: 12, unsent: 3, held: 0, dealt: 0 })
    expect(asked.mock.calls.map(([query]) => query)).not.toContain('safe')
  })

  it('LG7: held-back entries and those dealt with are no part of what is safe', async () => {
    shop.holds = '2.9'
    await life(3, 0)
    await tab.store.record(reading('2.9'))
    await tab.store.record(reading('2.91'))
    await tab.talk()
    await tab.store.markDealt([4])
    expect(await tab.store.counts()).toMatchObject({ safe: 3, held: 1, dealt: 1, unsent: 0 })
  })

  it('is leapt over when builds are looked for', async () => {
    await life(40, 2)
    const steps = await stepsOf(async () =>
      expect(await tab.store.builds()).toEqual([BUILD, OTHER_BUILD]),
    )
    expect(steps).toBeGreaterThan(1)
    expect(steps).toBeLessThan(6)
  })

  it('gives each build a mark that its own entries and the shop’s move, all marks at once or one by one', async () => {
    await life(2, 1)
    const kept = await Promise.all(
      [BUILD, OTHER_BUILD].map(async (build) => ({
        build,
        mark: await tab.store.markOf(build),
        trade_version: 'v',
        state: null,
      })),
    )
    expect(await tab.store.summaries.stale(kept, 'v')).toEqual([])
    await tab.store.record(reading('2.6', OTHER_BUILD))
    expect(await tab.store.summaries.stale(kept, 'v')).toEqual([OTHER_BUILD])
    await tab.talk()
    expect(await tab.store.markOf(BUILD)).toBe(kept[0]?.mark)
  })

  it('is counted once more, not ten times, when ten changes come during a count', async () => {
    await life(1, 0)
    const counted = vi.spyOn(IDBObjectStore.prototype, 'openKeyCursor')
    await Promise.all(Array.from({ length: 10 }, () => tab.sync.recount()))
    expect(counted).toHaveBeenCalledTimes(2)
  })
})
