import { deleteDB, openDB } from 'idb'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILD, freshBrowser, openNewerTab, openTab, reading } from '../testing/device.ts'

beforeEach(() => {
  vi.unstubAllGlobals()
  vi.restoreAllMocks()
  freshBrowser()
})

/** Lets every write fail as a full disk does: with an abort when the transaction wants to end. */
function fillDisk() {
  return vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(function (
    this: IDBObjectStore,
  ) {
    const { transaction } = this
    Object.defineProperty(transaction, 'error', {
      value: new DOMException('full', 'QuotaExceededError'),
    })
    transaction.abort()
    throw new DOMException('The transaction was aborted.', 'AbortError')
  })
}

describe('the connection to the storage', () => {
  it('LG14: writes are strict', async () => {
    const { record } = await openTab()
    await record(reading())
    const begun = vi.spyOn(IDBDatabase.prototype, 'transaction')
    await record(reading())
    expect(begun.mock.calls.map(([, mode, options]) => [mode, options])).toEqual([
      ['readwrite', { durability: 'strict' }],
    ])
  })

  it('LG14: resolves on complete, not when the request succeeded', async () => {
    const { record, entriesOf } = await openTab()
    await record(reading())
    const events: string[] = []
    const begin = IDBDatabase.prototype.transaction
    vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (
      this: IDBDatabase,
      ...words: Parameters<IDBDatabase['transaction']>
    ) {
      const tx = begin.apply(this, words)
      tx.addEventListener('complete', () => events.push('complete'))
      return tx
    })
    await record(reading())
    events.push('resolved')
    expect(events).toEqual(['complete', 'resolved'])
    expect(await entriesOf(BUILD)).toHaveLength(2)
  })

  it('LG14: an aborted transaction is a named failure, stores nothing and keeps the draft', async () => {
    const { record, draft, entriesOf } = await openTab()
    await draft.save('k', '2.44')
    const put = vi.spyOn(IDBObjectStore.prototype, 'delete').mockImplementation(function (
      this: IDBObjectStore,
    ) {
      this.transaction.abort()
      throw new DOMException('aborted', 'AbortError')
    })
    await expect(record({ ...reading(), draft: 'k' })).rejects.toMatchObject({ code: 'not_stored' })
    put.mockRestore()
    expect(await draft.load('k')).toBe('2.44')
    expect(await entriesOf(BUILD)).toEqual([])
    expect((await record(reading())).device_no).toBe(1)
  })

  it('a full device is a named failure with nothing lost', async () => {
    const { record, draft, entriesOf } = await openTab()
    await draft.save('k', '2.4483')
    const disk = fillDisk()
    await expect(record({ ...reading(), draft: 'k' })).rejects.toMatchObject({
      code: 'storage_full',
    })
    disk.mockRestore()
    expect(await draft.load('k')).toBe('2.4483')
    expect(await entriesOf(BUILD)).toEqual([])
    expect(await record({ ...reading(), draft: 'k' })).toMatchObject({ device_no: 1 })
  })

  it('a full device that never answers the request is a named failure too, and the next entry goes on', async () => {
    const { record, entriesOf } = await openTab()
    const silent = new (IDBOpenDBRequest as unknown as new () => IDBOpenDBRequest)()
    const disk = vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(function (
      this: IDBObjectStore,
    ) {
      this.transaction.abort()
      return silent as unknown as IDBRequest<IDBValidKey>
    })
    await expect(record(reading())).rejects.toMatchObject({ code: 'not_stored' })
    disk.mockRestore()
    await record(reading())
    expect(await entriesOf(BUILD)).toHaveLength(1)
  })

  it('LG14: no storage is a named failure, and nothing pretends to remember', async () => {
    vi.stubGlobal('indexedDB', undefined)
    const { record, storeNotice } = await openTab()
    await expect(record(reading())).rejects.toMatchObject({ code: 'storage_unavailable' })
    expect(storeNotice.value?.code).toBe('storage_unavailable')
  })

  it('LG14: a connection that the browser closed is opened again', async () => {
    const { record, entriesOf, disconnect } = await openTab()
    await record(reading())
    const begin = vi.spyOn(IDBDatabase.prototype, 'transaction')
    begin.mockImplementationOnce(() => {
      throw new DOMException('The database connection is closing.', 'InvalidStateError')
    })
    await record(reading())
    expect(await entriesOf(BUILD)).toHaveLength(2)
    await disconnect()
    expect(await entriesOf(BUILD)).toHaveLength(2)
  })

  it('a tab of the last version steps aside for a newer one and says so; nothing is lost', async () => {
    const old = await openTab()
    await old.record(reading())
    await old.draft.save('k', '2.44')
    const newer = await openNewerTab()
    expect(await newer.entriesOf(BUILD)).toHaveLength(1)
    expect(old.storeNotice.value?.code).toBe('newer_version')
    await expect(old.record(reading())).rejects.toMatchObject({ code: 'newer_version' })
    expect(await newer.draft.load('k')).toBe('2.44')
    expect(newer.storeNotice.value).toBeNull()
  })

  it('a tab that meets a newer version at the start says so', async () => {
    const newer = await openNewerTab()
    await newer.record(reading())
    const old = await openTab()
    await expect(old.record(reading())).rejects.toMatchObject({ code: 'newer_version' })
    expect(old.storeNotice.value?.message).toMatch(/Reload/)
    expect(await newer.entriesOf(BUILD)).toHaveLength(1)
  })

  it('a new version behind a tab that does not let go says which tab to close, and goes on then', async () => {
    const first = await openTab()
    await first.identity()
    await first.disconnect()
    const stubborn = await openDB('standbook', 2)
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
    const newer = await openNewerTab()
    const waits = expect(newer.record(reading())).rejects.toMatchObject({ code: 'storage_blocked' })
    await vi.waitFor(() => expect(newer.storeNotice.value?.code).toBe('storage_blocked'))
    vi.advanceTimersByTime(5000)
    await waits
    vi.useRealTimers()
    stubborn.close()
    expect(await newer.record(reading())).toMatchObject({ device_no: 1 })
    expect(newer.storeNotice.value).toBeNull()
  })

  it('LG5: a tab whose site data was deleted is another device, whose chain begins at 1', async () => {
    const tab = await openTab()
    await tab.record(reading())
    const before = await tab.identity()
    await deleteDB('standbook')
    expect(await tab.record(reading())).toMatchObject({ device_no: 1 })
    expect((await tab.identity()).device).not.toBe(before.device)
    expect(await tab.entriesOf(BUILD)).toHaveLength(1)
  })
})
