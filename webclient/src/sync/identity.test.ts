import { beforeEach, describe, expect, it, vi } from 'vitest'
import {
  BUILD,
  clearBook,
  copyOf,
  fill,
  freshBrowser,
  openSyncTab,
  reading,
} from '../testing/device.ts'
import { FakeShop } from '../testing/shop.ts'

type Tab = Awaited<ReturnType<typeof openSyncTab>>

let shop: FakeShop
let tab: Tab

async function open(): Promise<Tab> {
  const opened = await openSyncTab()
  opened.sync.useFetch(shop.fetch)
  return opened
}

async function recordSome(count: number, by: Tab = tab): Promise<string[]> {
  const texts: string[] = []
  for (let n = 1; n <= count; n++) texts.push((await by.store.record(reading(`2.${n}`))).text)
  return texts
}

function inTheBook(): string[] {
  return shop.book.map(({ text }) => text)
}

/** This tab's phone is set back to where `back` was taken. */
async function setBack(back: () => void): Promise<Tab> {
  await tab.store.disconnect()
  back()
  const again = await open()
  await again.store.cursor()
  await again.store.disconnect()
  await fill('standbook')
  return open()
}

beforeEach(async () => {
  vi.unstubAllGlobals()
  freshBrowser()
  shop = new FakeShop()
  tab = await open()
})

describe('a browser that cleared the book', () => {
  it('LG14: is another device, says what it was, and counts what never reached the shop', async () => {
    await recordSome(2)
    await tab.talk()
    await recordSome(3)
    const { device } = await tab.store.identity()
    await tab.store.disconnect()
    clearBook()
    tab = await open()
    await tab.talk()
    const now = await tab.store.identity()
    expect(now.device).not.toBe(device)
    expect(now.before).toEqual({ device, made: 5, why: 'cleared', at_shop: 2, told: false })
    expect(await tab.store.entriesOf(BUILD)).toHaveLength(2)
  })

  it('LG14: does not call lost what reaches the shop after all, until somebody has read it', async () => {
    await recordSome(1)
    await tab.talk()
    const [second, third] = await recordSome(2)
    const { device } = await tab.store.identity()
    const late = (from_no: number, text = '') =>
      shop.push({ device, device_name: '', app_version: '', now: '', from_no, entries: [text] })
    await tab.store.disconnect()
    clearBook()
    tab = await open()
    await tab.talk()
    expect((await tab.store.identity()).before).toMatchObject({ made: 3, at_shop: 1 })
    late(2, second)
    await tab.talk()
    expect((await tab.store.identity()).before).toMatchObject({ made: 3, at_shop: 2 })
    await tab.store.noteBefore({ told: true })
    late(3, third)
    await tab.talk()
    expect((await tab.store.identity()).before).toMatchObject({ made: 3, at_shop: 2, told: true })
  })

  it('LG14: its witness goes by the highest number, whichever tab notes first', async () => {
    const { noteMade, witness } = await import('../store/witness.ts')
    noteMade('a', 5)
    noteMade('a', 4)
    expect(witness()).toEqual({ device: 'a', made: 5 })
    noteMade('b', 1)
    expect(witness()).toEqual({ device: 'b', made: 1 })
  })

  it('LG14: tells the shop what it was, with its first entry', async () => {
    await recordSome(1)
    const { device } = await tab.store.identity()
    await tab.store.disconnect()
    clearBook()
    tab = await open()
    await recordSome(1)
    await tab.talk()
    expect(shop.pushes.at(-1)).toMatchObject({ replaces: { device, made: 1 }, made: 1 })
  })

  it('LG14: without a witness starts as a device that was never here', async () => {
    await recordSome(1)
    await tab.store.disconnect()
    freshBrowser()
    tab = await open()
    expect(await tab.store.identity()).not.toHaveProperty('before')
  })
})

describe('one identity on two phones', () => {
  it('LG4: the second phone takes a new identity, its own chain from 1, and goes on', async () => {
    await recordSome(1)
    await tab.talk()
    const copy = await copyOf('standbook')
    const first = await recordSome(1)
    await tab.talk()
    tab = await setBack(copy)
    const second = await recordSome(2)
    await tab.talk()
    const { device, before } = await tab.store.identity()
    expect(before).toMatchObject({ why: 'copied', made: 3 })
    const third = await recordSome(1)
    await tab.talk()
    expect(inTheBook()).toEqual(expect.arrayContaining([...first, second[1], ...third]))
    expect(JSON.parse(third[0] as string)).toMatchObject({ device, device_no: 1 })
  })

  it('LG4: the entry whose number was taken stays in sight as held back', async () => {
    await recordSome(1)
    const copy = await copyOf('standbook')
    await tab.talk()
    await recordSome(1)
    await tab.talk()
    tab = await setBack(copy)
    const [mine] = await recordSome(1)
    await tab.talk()
    expect(await tab.store.heldEntries()).toMatchObject([
      { text: mine, sent: 'held', held: { code: 'same_number' } },
    ])
  })

  it('LG5: a phone that was set back finds that the shop has more of it than it made', async () => {
    await recordSome(1)
    const copy = await copyOf('standbook')
    await recordSome(2)
    await tab.talk()
    tab = await setBack(copy)
    const { device } = await tab.store.identity()
    await tab.talk()
    expect((await tab.store.identity()).device).not.toBe(device)
    expect(await tab.store.entriesOf(BUILD)).toHaveLength(3)
    const [next] = await recordSome(1)
    await tab.talk()
    expect(inTheBook().at(-1)).toBe(next)
  })

  it('LG5: another tab that still writes under the old identity leaves no gap in the new chain', async () => {
    const other = await open()
    await recordSome(1)
    await recordSome(1, other)
    await tab.store.leaveIdentity()
    const late = await recordSome(2, other)
    const after = await recordSome(3)
    await tab.talk()
    const { device } = await tab.store.identity()
    const numbers = inTheBook()
      .map((text) => JSON.parse(text))
      .filter((entry) => entry.device === device)
      .map((entry) => entry.device_no)
    expect(numbers.sort()).toEqual(Array.from(numbers, (_, at) => at + 1))
    expect(inTheBook()).toEqual(expect.arrayContaining([...late, ...after]))
    expect(await tab.store.counts()).toMatchObject({ unsent: 0, carried: 0 })
  })
})

describe('a restored server', () => {
  it('LG9: gets back from this phone what another phone had made, for that phone', async () => {
    await recordSome(2)
    await tab.talk()
    const lost = await recordSome(2)
    await tab.talk()
    await tab.store.disconnect()
    // Another phone that has pulled everything; the first one is gone for good.
    freshBrowser()
    const other = await open()
    await other.talk()
    shop.restore(2)
    await other.talk()
    expect(inTheBook().slice(2)).toEqual(lost)
    expect(shop.pushes.at(-1)).toMatchObject({ carrier: (await other.store.identity()).device })
    await other.talk()
    expect(await other.store.counts()).toMatchObject({ carried: 0 })
  })

  it('LG9: entries that it has kept are not offered again', async () => {
    await recordSome(3)
    await tab.talk()
    await tab.store.disconnect()
    freshBrowser()
    const other = await open()
    await other.talk()
    const before = shop.pushes.length
    shop.restore(3)
    await other.talk()
    expect(shop.pushes).toHaveLength(before)
  })
})

describe('a held-back entry that a person has dealt with', () => {
  it('LG6: leaves the list at once when it was dealt with here', async () => {
    shop.holds = '"2.1"'
    await recordSome(1)
    await tab.talk()
    expect(await tab.store.heldEntries()).toHaveLength(1)
    await tab.sync.dealWithHeld(1, 'p1', 'entered again')
    expect(await tab.store.heldEntries()).toEqual([])
  })

  it('LG6: stays on the list when somebody else than the shop says yes', async () => {
    shop.holds = '"2.1"'
    await recordSome(1)
    await tab.talk()
    shop.trouble = (path) =>
      path.startsWith('/devices/') ? new Response(null, { status: 204 }) : null
    await expect(tab.sync.dealWithHeld(1, 'p1', 'entered again')).rejects.toMatchObject({
      code: 'not_the_shop',
    })
    expect(await tab.store.heldEntries()).toHaveLength(1)
  })

  it('LG6: leaves the list too when this phone brought it for the identity that it had before', async () => {
    shop.holds = '2.'
    await recordSome(2)
    const { device } = await tab.store.identity()
    await tab.talk()
    await tab.store.leaveIdentity()
    expect(await tab.store.heldEntries()).toHaveLength(2)
    await tab.sync.dealWithHeld(1, 'p1', 'left out', device)
    expect(await tab.store.heldEntries()).toMatchObject([{ device, device_no: 2 }])
    shop.dealt.set(device, [1, 2])
    await tab.talk()
    expect(await tab.store.heldEntries()).toEqual([])
    expect(tab.sync.strip.value).toMatchObject({ held: 0, allSafe: true })
  })

  it('LG6: leaves the list with the next talk when it was dealt with at the desk', async () => {
    shop.holds = '"2.1"'
    await recordSome(2)
    await tab.talk()
    shop.holds = null
    shop.dealt.set((await tab.store.identity()).device, [1])
    await recordSome(1)
    await tab.talk()
    expect(await tab.store.heldEntries()).toEqual([])
    expect(tab.sync.strip.value).toMatchObject({ held: 0, allSafe: true })
  })
})

it('tells the shop the name that its people gave this device', async () => {
  await recordSome(1)
  await tab.talk()
  expect(shop.pushes.at(-1)).toMatchObject({ device_name: '' })
  await tab.store.remember('device name', 'Phone at stand 2')
  await recordSome(1)
  await tab.talk()
  expect(shop.pushes.at(-1)).toMatchObject({ device_name: 'Phone at stand 2' })
})
