import { beforeEach, expect, it, vi } from 'vitest'
import { freshBrowser, openSyncTab, reading } from '../testing/device.ts'
import { FakeShop } from '../testing/shop.ts'

let shop: FakeShop

async function open() {
  const tab = await openSyncTab()
  tab.sync.useFetch(shop.fetch)
  return { ...tab, ...(await import('./photos.ts')) }
}

const PICTURE = Uint8Array.from({ length: 900 }, (_, at) => at % 251).buffer

beforeEach(() => {
  vi.unstubAllGlobals()
  freshBrowser()
  shop = new FakeShop()
})

it('LG13: counts a picture that the shop does not take until it is struck out, and keeps it', async () => {
  const phone = await open()
  const sha256 = await phone.store.sha256OfBytes(PICTURE)
  const row = { sha256, bytes: PICTURE, type: 'image/jpeg', sent: 0 as const }
  await phone.store.record({ ...reading(), kind: 'photo', photo: { row, raw: null } })
  const error = { code: 'photo_unreadable', message: 'This is no picture.', details: {} }
  shop.trouble = (path, method) =>
    path.startsWith('/photos/') && method === 'PATCH'
      ? Response.json({ error }, { status: 422 })
      : null
  await phone.talk()
  expect(phone.sync.strip.value).toMatchObject({ photosRefused: 1, photos: 0 })

  await phone.photoStruck(sha256)
  expect(phone.sync.strip.value).toMatchObject({ photosRefused: 0, photos: 0 })
  expect((await phone.photoHomes()).refused).toEqual([sha256])
  expect((await phone.store.photo(sha256))?.bytes.byteLength).toBe(900)
})

it('leaves a picture that is on its way alone', async () => {
  const phone = await open()
  const sha256 = await phone.store.sha256OfBytes(PICTURE)
  const row = { sha256, bytes: PICTURE, type: 'image/jpeg', sent: 0 as const }
  await phone.store.record({ ...reading(), kind: 'photo', photo: { row, raw: null } })
  await phone.photoStruck(sha256)
  expect(await phone.store.photosToSend()).toEqual([sha256])
})
