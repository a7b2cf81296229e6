/** A restored shop and a phone with a long life: everything is offered again, and nobody at the stand waits for it. */
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILD, freshBrowser, openSyncTab, reading } from '../testing/device.ts'
import { FakeShop } from '../testing/shop.ts'

type Tab = Awaited<ReturnType<typeof openSyncTab>>

let shop: FakeShop
let tab: Tab

async function open(): Promise<Tab> {
  const opened = await openSyncTab()
  opened.sync.useFetch(shop.fetch)
  return opened
}

/** Writes to a table fail from the `nth` on, as if the page ended there. */
function endAt(table: string, nth: number) {
  let count = 0
  const put = IDBObjectStore.prototype.put
  return vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (
    this: IDBObjectStore,
    ...words
  ) {
    const request = put.apply(this, words)
    if (this.name === table && ++count === nth)
      request.addEventListener('success', () => this.transaction.abort())
    return request
  })
}

beforeEach(async () => {
  vi.unstubAllGlobals()
  vi.restoreAllMocks()
  freshBrowser()
  shop = new FakeShop()
  tab = await open()
  for (let n = 1; n <= 700; n++) await tab.store.record(reading(`2.${n}`))
  await tab.talk()
})

describe('a shop that was restored', () => {
  it('LG9: is offered the rest by the next page when this one ends half-way; until then nothing is called safe', async () => {
    const disk = endAt('own', 600)
    await expect(tab.store.startOver('epoch-2')).rejects.toThrow()
    disk.mockRestore()
    expect(await tab.store.ownFrom(600, 1)).toMatchObject([{ sent: 'safe' }])
    expect(await tab.store.counts()).toMatchObject({ unsent: 700, safe: 0 })
    shop.restore(0)
    tab = await open()
    await tab.talk()
    expect(shop.book).toHaveLength(700)
    expect(await tab.store.counts()).toMatchObject({ unsent: 0, safe: 700 })
  })

  it('LG9: keeps nobody waiting who records while everything is offered again', async () => {
    const order: string[] = []
    const over = tab.store.startOver('epoch-2').then(() => order.push('all offered'))
    await tab.store.record(reading('2.999')).then(() => order.push('recorded'))
    await over
    expect(order).toEqual(['recorded', 'all offered'])
    expect(await tab.store.counts()).toMatchObject({ unsent: 701 })
  })

  it('LG9: gets what others made though the page ends while two books are compared', async () => {
    for (let n = 1; n <= 2300; n++) {
      const text = JSON.stringify({ id: `e${n}`, build: BUILD, device: 'other', device_no: n })
      shop.append(text)
    }
    await tab.talk()
    shop.restore(700)
    await tab.store.startOver('epoch-2')
    await tab.store.appendPage('epoch-2', shop.book)
    const disk = endAt('carried', 2100)
    await expect(tab.store.carryLost()).rejects.toThrow()
    disk.mockRestore()
    tab = await open()
    expect(await tab.store.carryLost()).toBe(true)
    expect(await tab.store.counts()).toMatchObject({ carried: 2300 })
    expect(await tab.store.carryLost()).toBe(false)
  })
})
