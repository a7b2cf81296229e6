import { beforeEach, describe, expect, it, vi } from 'vitest'
import {
  BUILD,
  freshBrowser,
  OTHER_BUILD,
  openTab,
  reading,
  type Store,
} from '../testing/device.ts'
import { FakeShop } from '../testing/shop.ts'

beforeEach(() => {
  vi.unstubAllGlobals()
  vi.restoreAllMocks()
  freshBrowser()
})

/** A shop's book of `count` entries by somebody else, every third one of another build. */
function bookOf(count: number): FakeShop {
  const shop = new FakeShop()
  for (let n = 1; n <= count; n++) {
    const build = n % 3 === 0 ? OTHER_BUILD : BUILD
    shop.append(JSON.stringify({ id: `e${n}`, build, device: 'other', device_no: n }))
  }
  return shop
}

async function pullInPages(tab: Store, shop: FakeShop, page: number): Promise<void> {
  for (let at = 0; at < shop.book.length; at += page) {
    expect(await tab.appendPage(shop.epoch, shop.book.slice(at, at + page))).toBe(true)
  }
}

describe('pulled history', () => {
  it.each([1, 7, 199, 200, 201, 1000])(
    'LG7: pages of %i give the same book, as many entries as the cursor says',
    async (page) => {
      const tab = await openTab()
      const shop = bookOf(450)
      await pullInPages(tab, shop, page)
      const entries = await tab.entriesOf(BUILD)
      expect(entries.map((entry) => entry.seq)).toEqual(
        shop.book.filter((entry) => entry.seq % 3 !== 0).map((entry) => entry.seq),
      )
      expect(await tab.cursor()).toMatchObject({ after: 450, epoch: 'epoch-1' })
      expect(await tab.complete()).toBe(true)
      expect(await tab.builds()).toEqual([BUILD, OTHER_BUILD])
    },
  )

  it('LG12: keeps text that it does not understand, byte for byte', async () => {
    const tab = await openTab()
    const shop = new FakeShop()
    const strange = '{ "build": "b", "later": 1.0, "id": "x" }'
    shop.append(strange)
    shop.append('no JSON at all')
    await pullInPages(tab, shop, 10)
    expect((await tab.entriesOf('b'))[0]?.text).toBe(strange)
    expect(await tab.complete()).toBe(true)
  })

  it('LG7: a page that leaves a gap is not stored', async () => {
    const tab = await openTab()
    const shop = bookOf(10)
    await tab.appendPage(shop.epoch, shop.book.slice(0, 3))
    expect(await tab.appendPage(shop.epoch, shop.book.slice(4))).toBe(false)
    expect(await tab.cursor()).toMatchObject({ after: 3 })
  })

  it('LG7: a page from another chain is not stored', async () => {
    const tab = await openTab()
    const shop = bookOf(10)
    await tab.appendPage(shop.epoch, shop.book.slice(0, 3))
    const forged = shop.book
      .slice(3)
      .map((entry, at) => (at ? entry : { ...entry, prev: 'f'.repeat(64) }))
    expect(await tab.appendPage(shop.epoch, forged)).toBe(false)
  })

  it('a page that another tab has stored already changes nothing', async () => {
    const tab = await openTab()
    const shop = bookOf(10)
    await tab.appendPage(shop.epoch, shop.book)
    expect(await tab.appendPage(shop.epoch, shop.book.slice(0, 5))).toBe(true)
    expect(await tab.cursor()).toMatchObject({ after: 10 })
    expect(await tab.complete()).toBe(true)
  })

  it('LG7: a chunk that broke off leaves the cursor where it was', async () => {
    const tab = await openTab()
    const shop = bookOf(450)
    await tab.appendPage(shop.epoch, shop.book.slice(0, 200))
    const put = vi.spyOn(IDBObjectStore.prototype, 'put')
    put.mockImplementationOnce(function (this: IDBObjectStore, ...words) {
      // The first of two pieces goes through, the transaction dies before the second.
      const request = IDBObjectStore.prototype.add.apply(this, words)
      this.transaction.abort()
      return request
    })
    await expect(tab.appendPage(shop.epoch, shop.book.slice(200))).rejects.toMatchObject({
      name: 'StoreFailure',
    })
    put.mockRestore()
    expect(await tab.cursor()).toMatchObject({ after: 200 })
    expect(await tab.complete()).toBe(true)
    await tab.appendPage(shop.epoch, shop.book.slice(200))
    expect(await tab.entriesOf(BUILD)).toHaveLength(300)
  })

  it('LG7: a history that lost a piece is found out', async () => {
    const tab = await openTab()
    const shop = bookOf(450)
    await pullInPages(tab, shop, 1000)
    const { openDB } = await import('idb')
    const db = await openDB('standbook')
    await db.delete('chunks', 1)
    db.close()
    expect(await tab.complete()).toBe(false)
  })

  it('LG7: an own entry is safe only when a pull shows its very bytes', async () => {
    const tab = await openTab()
    const shop = new FakeShop()
    const entry = await tab.record(reading())
    await tab.markAnswered([{ device_no: 1, sent: 'sent', held: null, seq: null }])
    expect(await tab.counts()).toMatchObject({ safe: 0, sent: 1 })
    shop.append(entry.text)
    await tab.appendPage(shop.epoch, shop.book)
    expect(await tab.counts()).toMatchObject({ safe: 1, sent: 0 })
    expect(await tab.entriesOf(BUILD)).toMatchObject([{ id: entry.id, seq: 1, sent: 'safe' }])
  })

  it('LG4: an entry whose number the book has with other bytes is kept and offered, for the shop to keep both', async () => {
    const tab = await openTab()
    const shop = new FakeShop()
    const entry = await tab.record(reading())
    shop.append(entry.text.replace('2.4483', '2.4484'))
    await tab.appendPage(shop.epoch, shop.book)
    expect(await tab.ownFrom(1, 9)).toMatchObject([{ text: entry.text, sent: 'no', seq: null }])
    expect(await tab.firstUnsent()).toBe(1)
    expect(await tab.entriesOf(BUILD)).toHaveLength(2)
  })

  it('LG11: gives pulled entries by seq, then own unsent ones by number', async () => {
    const tab = await openTab()
    const shop = bookOf(2)
    const [first, second] = [await tab.record(reading('1')), await tab.record(reading('2'))]
    await tab.appendPage(shop.epoch, shop.book)
    const names = (await tab.entriesOf(BUILD)).map((entry) => entry.id)
    expect(names).toEqual(['e1', 'e2', first.id, second.id])
  })

  it('an entry made after a pull says how much of the book its maker had seen', async () => {
    const tab = await openTab()
    const shop = bookOf(5)
    await tab.appendPage(shop.epoch, shop.book)
    expect(JSON.parse((await tab.record(reading())).text).seen).toBe(5)
  })

  it('LG9: starting over forgets history, keeps every own entry and offers it again', async () => {
    const tab = await openTab()
    const shop = bookOf(3)
    const entry = await tab.record(reading())
    shop.append(entry.text)
    await tab.appendPage(shop.epoch, shop.book)
    await tab.startOver('epoch-2')
    expect(await tab.cursor()).toMatchObject({ epoch: 'epoch-2', after: 0 })
    expect(await tab.entriesOf(BUILD)).toMatchObject([{ text: entry.text, sent: 'no', seq: null }])
    expect(await tab.record(reading())).toMatchObject({ device_no: 2 })
  })

  it('a summary shows itself stale as soon as its build changed', async () => {
    const tab = await openTab()
    await tab.record(reading())
    const mark = await tab.markOf(BUILD)
    await tab.summaries.save({ build: BUILD, mark, trade_version: '1', state: {} })
    expect(await tab.summaries.stale(await tab.summaries.all(), '1')).toEqual([])
    expect(await tab.summaries.stale(await tab.summaries.all(), '2')).toEqual([BUILD])
    await tab.record(reading())
    expect(await tab.summaries.stale(await tab.summaries.all(), '1')).toEqual([BUILD])
  })
})
