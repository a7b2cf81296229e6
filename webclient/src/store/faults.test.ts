/** Faults of browsers, disks and other tabs, each as one of them would show itself; beside the tests of each part. */
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILD, freshBrowser, openNewerTab, openTab, reading } from '../testing/device.ts'
import { FakeShop } from '../testing/shop.ts'
import { newId } from './ids.ts'

beforeEach(() => {
  vi.unstubAllGlobals()
  vi.restoreAllMocks()
  freshBrowser()
})

/** The transaction ends after its `nth` write from now on, though the write itself went through. */
function breakOff(nth: number) {
  let count = 0
  const write = IDBObjectStore.prototype.put
  return vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (
    this: IDBObjectStore,
    ...words
  ) {
    const request = write.apply(this, words)
    if (++count === nth) request.addEventListener('success', () => this.transaction.abort())
    return request
  })
}

describe('recording', () => {
  it('LG1: no two ids are alike, however many are made in one millisecond', () => {
    const ids = Array.from({ length: 500 }, () => newId(1_790_000_000_000))
    expect(new Set(ids).size).toBe(500)
  })

  it('LG5: two tabs that record at once lose none of their entries', async () => {
    const tabs = [await openTab(), await openTab()]
    const asked = tabs.flatMap((tab) => Array.from({ length: 5 }, () => tab.record(reading())))
    const told = await Promise.allSettled(asked)
    expect(told.map(({ status }) => status)).toEqual(Array(10).fill('fulfilled'))
    expect(await tabs[0]?.entriesOf(BUILD)).toHaveLength(10)
  })

  it('LG14: digits typed just before the tap do not come back, in a page that has recorded before', async () => {
    const { draft, record } = await openTab()
    await record(reading())
    const saves = ['2', '2.4', '2.44'].map((text) => draft.save('k', text))
    await record({ ...reading(), draft: 'k' })
    await Promise.all(saves)
    expect(await draft.load('k')).toBeNull()
  })
})

describe('what the shop holds back', () => {
  it('LG6: stays on the phone word for word when somebody has dealt with it', async () => {
    const tab = await openTab()
    const { text } = await tab.record(reading())
    const held = { code: 'bad_entry', message: 'Kept back.' }
    await tab.markAnswered([{ device_no: 1, sent: 'held', held, seq: null }])
    await tab.markDealt([1])
    expect(await tab.heldEntries()).toEqual([])
    expect(await tab.ownFrom(1, 9)).toMatchObject([{ text, sent: 'dealt', held }])
    expect(await tab.record(reading())).toMatchObject({ device_no: 2 })
  })
})

describe('the disk', () => {
  it('LG14: a transaction that ends badly after its last request is a failure', async () => {
    const { remember, recall } = await openTab()
    const disk = breakOff(1)
    await expect(remember('unit', 'in')).rejects.toMatchObject({ code: 'not_stored' })
    disk.mockRestore()
    expect(await recall('unit')).toBeNull()
  })

  it('LG14: an entry is taken by a connection opened anew when the browser has closed the one before', async () => {
    const { record } = await openTab()
    await record(reading())
    vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementationOnce(() => {
      throw new DOMException('The database connection is closing.', 'InvalidStateError')
    })
    await expect(record(reading())).resolves.toMatchObject({ device_no: 2 })
  })

  it('LG14: an old tab does not keep a newer one waiting', async () => {
    const old = await openTab()
    await old.record(reading())
    const newer = await openNewerTab()
    const late = new Promise((resolve) => setTimeout(resolve, 1000, 'kept waiting'))
    const opened = newer.entriesOf(BUILD).then((entries) => entries.length)
    opened.catch(() => undefined)
    expect(await Promise.race([opened, late])).toBe(1)
  })
})

describe('the pulled book', () => {
  function bookOf(count: number): FakeShop {
    const shop = new FakeShop()
    for (let n = 1; n <= count; n++) {
      shop.append(JSON.stringify({ id: `e${n}`, build: BUILD, device: 'other', device_no: n }))
    }
    return shop
  }

  it.each([1, 2, 3, 4])(
    'LG7: a page that breaks off after its write %i leaves cursor and history as they were',
    async (nth) => {
      const tab = await openTab()
      const shop = bookOf(450)
      await tab.appendPage(shop.epoch, shop.book.slice(0, 150))
      const disk = breakOff(nth)
      await expect(tab.appendPage(shop.epoch, shop.book.slice(150))).rejects.toThrow()
      disk.mockRestore()
      expect(await tab.cursor()).toMatchObject({ after: 150 })
      expect(await tab.entriesOf(BUILD)).toHaveLength(150)
      expect(await tab.appendPage(shop.epoch, shop.book.slice(150))).toBe(true)
      expect(await tab.entriesOf(BUILD)).toHaveLength(450)
    },
  )

  it('LG12: what is no JSON at all is kept in its place like everything else', async () => {
    const tab = await openTab()
    const shop = bookOf(2)
    shop.append('no JSON at all')
    await tab.appendPage(shop.epoch, shop.book)
    expect(await tab.cursor()).toMatchObject({ after: 3 })
    expect((await tab.entriesOf('')).map(({ text }) => text)).toEqual(['no JSON at all'])
  })
})
