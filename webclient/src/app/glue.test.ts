import { effect } from '@preact/signals'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILD, freshBrowser, OTHER_BUILD, reading } from '../testing/device.ts'
import { FakeBrain } from '../testing/fakebrain.ts'
import { FakeShop } from '../testing/shop.ts'

async function openTab(fake: FakeBrain) {
  vi.resetModules()
  vi.doMock('../../generated/catalogue.json', () => ({ default: { trade_version: 'test' } }))
  const { startWith } = await import('../brain/runtime.ts')
  const { brain } = await import('../brain/brain.ts')
  const store = await import('../store/index.ts')
  const { keepBooks } = await import('./books.ts')
  const states = await import('./states.ts')
  const views = await import('./views.ts')
  const { trouble } = await import('./trouble.ts')
  const starter = vi.fn(async () => fake.call)
  startWith(starter)
  keepBooks()
  const reckonStale = await states.recallStates()
  return { brain, store, trouble, reckonStale, starter, startWith, ...states, ...views }
}

const asked = {
  build: BUILD,
  step: 's',
  place: 'p',
  typed: { text: '1', unit: 'in' },
  why: 'first',
  instrument: null,
  day: '2026-11-25',
  at: '2026-11-25T08:00:00Z',
} as const

type Tab = Awaited<ReturnType<typeof openTab>>

let fake: FakeBrain
let tab: Tab

beforeEach(async () => {
  vi.unstubAllGlobals()
  freshBrowser()
  fake = new FakeBrain()
  tab = await openTab(fake)
})

/** Looks at a signal as a screen does. */
function look<T>(signal: { value: T }): { seen: T[]; away: () => void } {
  const seen: T[] = []
  return { seen, away: effect(() => void seen.push(signal.value)) }
}

async function fresh(check: () => void): Promise<void> {
  await vi.waitFor(check)
}

describe('the brain’s books', () => {
  it('opens a book once and then feeds it entry by entry', async () => {
    await tab.store.record(reading('1'))
    await tab.brain.step(BUILD, 's')
    await tab.store.record(reading('2'))
    await tab.brain.step(BUILD, 's')
    await tab.brain.step(BUILD, 's')
    const fed = fake.told.filter(({ name }) => name === 'open' || name === 'add')
    expect(fed.map(({ name, ids }) => [name, ids])).toEqual([
      ['open', [['1', null]]],
      ['add', [['2', null]]],
    ])
  })

  it('has an answer at once while the book is whole, and none while something has to come first', async () => {
    expect(tab.brain.previewNow(asked)).toBeNull()
    await tab.store.record(reading('1'))
    await tab.brain.step(BUILD, 's')
    expect(tab.brain.previewNow(asked)).toMatchObject({ held: ['1'] })
    await tab.store.record(reading('2'))
    expect(tab.brain.previewNow(asked)).toBeNull()
    const bringing = tab.brain.step(BUILD, 's')
    expect(tab.brain.previewNow(asked)).toBeNull()
    await bringing
    expect(tab.brain.previewNow(asked)).toMatchObject({ held: ['1', '2'] })
    tab.startWith(tab.starter)
    expect(tab.brain.previewNow(asked)).toBeNull()
  })

  it('is asked once for one question, and again as soon as its answer could be another one', async () => {
    await tab.store.record(reading('1'))
    await tab.brain.step(BUILD, 's')
    const times = () => fake.names().filter((name) => name === 'preview').length
    const ask = (more: object = {}) => tab.brain.previewNow({ ...asked, ...more })
    ask()
    expect(ask({ at: '2026-11-25T08:00:05Z' })).toMatchObject({ held: ['1'] })
    expect(times()).toBe(1)
    ask({ at: '2026-11-25T08:01:00Z' })
    expect(times()).toBe(2)
    ask({ typed: { text: '1.', unit: 'in' } })
    ask({ why: 'repeat' })
    expect(times()).toBe(4)
    await tab.store.record(reading('2'))
    await tab.brain.state(BUILD)
    expect(ask({ why: 'repeat' })).toMatchObject({ held: ['1', '2'] })
    fake.slips = [{ id: 'digit' }]
    ask()
    ask()
    expect(times()).toBe(7)
  })

  it('tells the brain the shop’s order once a pull has shown it', async () => {
    const shop = new FakeShop()
    const entry = await tab.store.record(reading('1'))
    await tab.brain.state(BUILD)
    shop.append(entry.text)
    await tab.store.appendPage(shop.epoch, shop.book)
    await tab.brain.state(BUILD)
    expect(fake.books.get(BUILD)?.get('1')).toBe(1)
  })

  it('lets no verdict rest on an entry that the shop holds back', async () => {
    await tab.store.record(reading('1'))
    await tab.store.record(reading('2'))
    await tab.brain.state(BUILD)
    const held = { code: 'bad_entry', message: 'Kept back.' }
    await tab.store.markAnswered([{ device_no: 1, sent: 'held', held, seq: null }])
    await tab.brain.state(BUILD)
    expect([...(fake.books.get(BUILD)?.keys() ?? [])]).toEqual(['2'])
  })

  it('opens its books again in a brain that was started afresh', async () => {
    await tab.store.record(reading('1'))
    await tab.brain.state(BUILD)
    fake.broken = new RangeError('memory access out of bounds')
    await expect(tab.brain.state(BUILD)).rejects.toMatchObject({ code: 'brain_failed' })
    fake.broken = null
    fake.books.clear()
    await tab.brain.state(BUILD)
    expect(tab.starter).toHaveBeenCalledTimes(2)
    expect([...(fake.books.get(BUILD)?.keys() ?? [])]).toEqual(['1'])
  })

  it('holds four books at most', async () => {
    for (const n of [1, 2, 3, 4, 5, 6]) {
      const build = `build-${n}`
      await tab.store.record(reading('1', build))
      await tab.brain.state(build)
    }
    await fresh(() => expect(fake.books.size).toBe(4))
    await tab.brain.state('build-1')
    expect(fake.books.has('build-1')).toBe(true)
  })

  it('loses no entry that is recorded while the book is being opened', async () => {
    const first = tab.store.record(reading('1'))
    const asked = tab.brain.state(BUILD)
    await Promise.all([first, asked, tab.store.record(reading('2'))])
    await tab.brain.state(BUILD)
    expect([...(fake.books.get(BUILD)?.keys() ?? [])].sort()).toEqual(['1', '2'])
  })
})

describe('what screens look at', () => {
  it('a step is reckoned when somebody looks, and again after each entry', async () => {
    const step = look(tab.stepView(BUILD, 's'))
    await fresh(() => expect(step.seen.at(-1)).toMatchObject({ held: [] }))
    await tab.store.record(reading('1'))
    await fresh(() => expect(step.seen.at(-1)).toMatchObject({ held: ['1'] }))
    step.away()
  })

  it('a step that nobody looks at is not reckoned', async () => {
    const step = look(tab.stepView(BUILD, 's'))
    await fresh(() => expect(fake.names()).toContain('step'))
    step.away()
    fake.told = []
    await tab.store.record(reading('1'))
    await fresh(() => expect(fake.names()).toContain('state'))
    expect(fake.names()).not.toContain('step')
  })

  it('many wishes at once are reckoned in two goes', async () => {
    const step = look(tab.stepView(BUILD, 's'))
    await fresh(() => expect(step.seen.at(-1)).toMatchObject({ held: [] }))
    fake.told = []
    await Promise.all(Array.from({ length: 8 }, () => tab.refreshViews(BUILD)))
    expect(fake.names().filter((name) => name === 'step')).toHaveLength(2)
    step.away()
  })

  it('engines follow every build that changes', async () => {
    await tab.store.record(reading('1'))
    await tab.store.record(reading('2', OTHER_BUILD))
    await fresh(() =>
      expect(tab.engines.value.map((state) => state.build)).toEqual([BUILD, OTHER_BUILD]),
    )
  })

  it('a cold start shows the last state and step before the brain is up', async () => {
    const step = look(tab.stepView(BUILD, 's'))
    await tab.store.record(reading('1'))
    await fresh(() => expect(step.seen.at(-1)).toMatchObject({ held: ['1'] }))
    await fresh(() => expect(tab.engines.value).toHaveLength(1))
    await vi.waitFor(
      async () => expect(await tab.store.recall(`view/${BUILD}/s`)).not.toBeNull(),
      2000,
    )
    const asleep = new FakeBrain()
    asleep.broken = new Error('not up')
    const cold = await openTab(asleep)
    expect(cold.engines.value).toMatchObject([{ build: BUILD, held: ['1'] }])
    const again = look(cold.stepView(BUILD, 's'))
    await fresh(() => expect(again.seen.at(-1)).toMatchObject({ held: ['1'] }))
  })

  it('a step that was put aside before the last entry is not shown', async () => {
    await tab.store.remember(`view/${BUILD}/s`, {
      mark: 'old',
      trade_version: 'test',
      view: { held: ['old'] },
    })
    await tab.store.record(reading('1'))
    const step = look(tab.stepView(BUILD, 's'))
    await fresh(() => expect(step.seen.at(-1)).toMatchObject({ held: ['1'] }))
    expect(step.seen).not.toContainEqual({ held: ['old'] })
  })

  it('only stale states are reckoned anew after a start', async () => {
    await tab.store.record(reading('1'))
    await fresh(() => expect(tab.engines.value).toHaveLength(1))
    const { all, stale } = tab.store.summaries
    await vi.waitFor(async () => expect(await stale(await all(), 'test')).toEqual([]))
    const second = new FakeBrain()
    const later = await openTab(second)
    await later.reckonStale()
    await new Promise((resolve) => setTimeout(resolve, 20))
    expect(second.told).toEqual([])
    await later.store.record(reading('2'))
    await fresh(() => expect(second.names()).toContain('state'))
  })

  it('says what keeps a view from being fresh, until it is fresh again', async () => {
    fake.broken = Object.assign(new Error('ValueError: x'), { name: 'PythonError' })
    const step = look(tab.stepView(BUILD, 's'))
    await fresh(() => expect(tab.trouble.value).toMatchObject({ code: 'brain_failed' }))
    fake.broken = null
    await tab.store.record(reading('1'))
    await fresh(() => expect(step.seen.at(-1)).toMatchObject({ held: ['1'] }))
    expect(tab.trouble.value).toBeNull()
  })
})
