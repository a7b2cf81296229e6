import { beforeEach, describe, expect, it } from 'vitest'
import { openSyncTab, reading } from '../testing/device.ts'
import type { FakeShop } from '../testing/shop.ts'
import { firstTab, type Tab } from '../testing/tab.ts'

const WHERE = { build: reading().build, step: null, place: null, caption: '', person: 'p1' }
const BIG = 600 * 1024

let shop: FakeShop
let tab: Tab

function picture(size = BIG, first = 1): ArrayBuffer {
  return Uint8Array.from({ length: size }, (_, at) => (at * 7 + first) % 256).buffer
}

/** A photo with its entry, as the app enters it. */
async function enter(bytes = picture()): Promise<string> {
  const { store } = tab
  const sha256 = await store.sha256OfBytes(bytes)
  const raw = await store.keepRaw(bytes, 'image/jpeg', WHERE)
  const row = { sha256, bytes, type: 'image/jpeg', sent: 0 as const }
  const body = { v: 1, photo: { sha256 }, caption: '' }
  await store.record({ ...reading(), kind: 'photo', body, photo: { row, raw } })
  return sha256
}

function pieces(): string[] {
  return asked.filter((one) => one.startsWith('PATCH'))
}

let asked: string[]

beforeEach(async () => {
  ;({ shop, tab } = await firstTab())
  asked = []
  shop.trouble = (path, method) => {
    asked.push(`${method} ${path}`)
    return null
  }
})

describe('a photo of this device', () => {
  it('LG13: is on disk with its entry, and what it was made from is gone with that', async () => {
    const sha256 = await enter()
    expect((await tab.store.photo(sha256))?.bytes.byteLength).toBe(BIG)
    expect(await tab.store.rawPhotos()).toEqual([])
    expect(await tab.store.counts()).toMatchObject({ unsent: 1, photos: 1 })
  })

  it('LG13: that the page did not live to enter is still there as the camera gave it', async () => {
    await tab.store.keepRaw(picture(), 'image/jpeg', WHERE)
    tab = await openSyncTab()
    expect(await tab.store.rawPhotos()).toMatchObject([{ where: WHERE, type: 'image/jpeg' }])
  })

  it('LG13: an entry that cannot be stored takes neither its photo nor the raw picture', async () => {
    const bytes = picture()
    const raw = await tab.store.keepRaw(bytes, 'image/jpeg', WHERE)
    const row = { sha256: 'a'.repeat(64), bytes, type: 'image/jpeg', sent: 0 as const }
    const body = { v: 1, note: '\ud800' }
    await expect(
      tab.store.record({ ...reading(), kind: 'photo', body, photo: { row, raw } }),
    ).rejects.toMatchObject({ code: 'bad_text' })
    expect(await tab.store.rawPhotos()).toHaveLength(1)
    expect(await tab.store.photo('a'.repeat(64))).toBeNull()
  })

  it('LG13: goes to the shop in pieces, and is marked when the shop says that it is whole', async () => {
    const sha256 = await enter()
    await tab.talk()
    expect(pieces()).toHaveLength(3)
    expect(shop.kept.has(sha256)).toBe(true)
    expect(await tab.store.counts()).toMatchObject({ photos: 0 })
    expect(tab.sync.strip.value.allSafe).toBe(true)
  })

  it('LG13: after a cut goes on from where the shop is', async () => {
    const sha256 = await enter()
    let sent = 0
    shop.trouble = (path) => (path.startsWith('/photos/') && ++sent === 3 ? 'cut request' : null)
    await tab.talk()
    expect(tab.sync.strip.value).toMatchObject({ photos: 1, allSafe: false })
    asked = []
    shop.trouble = (path, method) => {
      asked.push(`${method} ${path}`)
      return null
    }
    await tab.talk()
    expect(pieces()).toHaveLength(2)
    expect(shop.uploads.get(sha256)?.equals(Buffer.from(picture()))).toBe(true)
  })

  it('LG13: a piece whose answer was lost is not sent twice into the file', async () => {
    const sha256 = await enter()
    let sent = 0
    shop.trouble = (path) => (path.startsWith('/photos/') && ++sent === 2 ? 'cut reply' : null)
    await tab.talk()
    shop.trouble = () => null
    await tab.talk()
    expect(shop.uploads.get(sha256)?.equals(Buffer.from(picture()))).toBe(true)
  })

  it('LG13: that the shop refuses is kept here and not sent for ever', async () => {
    const sha256 = await enter()
    const error = { code: 'photo_unreadable', message: 'No picture.', details: {} }
    const refusal = () =>
      new Response(JSON.stringify({ error }), {
        status: 422,
        headers: { 'content-type': 'application/json' },
      })
    shop.trouble = (path, method) =>
      path.startsWith('/photos/') && method === 'PATCH' ? refusal() : null
    await tab.talk()
    expect((await tab.store.photo(sha256))?.sent).toBe(2)
  })

  it('LG13: that the shop has trouble with holds up none behind it', async () => {
    const [first, second] = [await enter(picture(BIG, 1)), await enter(picture(BIG, 2))]
    const error = { code: 'server_trouble', message: 'Something broke.', details: {} }
    const [early] = (await tab.store.photosToSend()) as [string]
    shop.trouble = (path, method) =>
      path.endsWith(early) && method === 'PATCH'
        ? new Response(JSON.stringify({ error }), {
            status: 500,
            headers: { 'content-type': 'application/json' },
          })
        : null
    await tab.talk()
    expect(await tab.store.photosToSend()).toEqual([early])
    expect(shop.kept.has(early === first ? second : first)).toBe(true)
    expect(tab.sync.strip.value.problem).toBe('Something broke.')
  })

  it('LG13: whose bytes the disk has spoilt is named as not to be sent, not sent for ever', async () => {
    const row = { sha256: 'a'.repeat(64), bytes: picture(), type: 'image/jpeg', sent: 0 as const }
    await tab.store.record({ ...reading(), kind: 'photo', photo: { row, raw: null } })
    const error = { code: 'hash_mismatch', message: 'Other bytes.', details: {} }
    shop.trouble = (path, method) =>
      path.startsWith('/photos/') && method === 'PATCH'
        ? new Response(JSON.stringify({ error }), {
            status: 422,
            headers: { 'content-type': 'application/json' },
          })
        : null
    await tab.talk()
    expect((await tab.store.photo(row.sha256))?.sent).toBe(2)
  })

  it('LG13: a strange network that answers everything with 200 gets no photo marked', async () => {
    await enter()
    shop.trouble = (path) => (path.startsWith('/photos/') ? new Response('<html>') : null)
    await tab.talk()
    expect(await tab.store.counts()).toMatchObject({ photos: 1 })
  })

  it('LG9: is offered again to a shop that was restored', async () => {
    const sha256 = await enter()
    await tab.talk()
    shop.restore(0)
    shop.uploads.clear()
    shop.kept.clear()
    await tab.talk()
    await tab.talk()
    expect(shop.kept.has(sha256)).toBe(true)
  })

  it('LG9: is offered again to a restored shop whose book had nothing in it when it took it', async () => {
    shop.holds = 'photo'
    const sha256 = await enter()
    await tab.talk()
    expect([shop.kept.has(sha256), shop.book.length]).toEqual([true, 0])
    shop.restore(0)
    shop.uploads.clear()
    shop.kept.clear()
    await tab.talk()
    await tab.talk()
    expect(shop.kept.has(sha256)).toBe(true)
  })
})
