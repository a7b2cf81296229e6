import { beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILD, copyOf, fill, freshBrowser, openSyncTab, reading } from '../testing/device.ts'
import { FakeShop } from '../testing/shop.ts'

let shop: FakeShop

async function open() {
  const tab = await openSyncTab()
  tab.sync.useFetch(shop.fetch)
  return { ...tab, ...(await import('./handover.ts')) }
}

type Phone = Awaited<ReturnType<typeof open>>

const PICTURE = Uint8Array.from({ length: 70_000 }, (_, at) => at % 251).buffer
const TEXT = '{"shown":"here"}'

/** A phone with two readings, a signature's text and a photo that the shop has not seen, and its file. */
async function filled(): Promise<{ phone: Phone; file: Blob; texts: string[] }> {
  const phone = await open()
  const { store } = phone
  const shown = await store.sha256(TEXT)
  const hash = await store.sha256OfBytes(PICTURE)
  const row = { sha256: hash, bytes: PICTURE, type: 'image/jpeg', sent: 0 as const }
  const texts = [
    await store.record(reading('2.1')),
    await store.record({ ...reading('2.2'), blobs: [{ sha256: shown, text: TEXT }] }),
    await store.record({ ...reading('2.3'), kind: 'photo', photo: { row, raw: null } }),
  ].map(({ text }) => text)
  const { file } = await phone.exportUnsent()
  return { phone, file, texts }
}

beforeEach(() => {
  vi.unstubAllGlobals()
  freshBrowser()
  shop = new FakeShop()
})

it('LG7: takes along what the shop has answered and no pull has shown', async () => {
  const phone = await open()
  await phone.store.record(reading('2.1'))
  shop.trouble = (path) => (path.startsWith('/sync/pull') ? 'cut reply' : null)
  await phone.talk()
  expect(await phone.store.firstUnsent()).toBeNull()
  await phone.store.record(reading('2.2'))
  expect((await phone.exportUnsent()).entries).toBe(2)
  shop.trouble = () => null
  await phone.talk()
  expect((await phone.exportUnsent()).entries).toBe(0)
})

it('brings entries, texts and photos of a phone to the shop by another one, once', async () => {
  const { phone, file, texts } = await filled()
  const device = (await phone.store.identity()).device
  await phone.store.disconnect()
  freshBrowser()
  const other = await open()
  expect(await other.importFile(file)).toEqual({ entries: 3, photos: 1, already: 0 })
  await other.talk()
  expect(shop.book.map(({ text }) => text)).toEqual(texts)
  expect(shop.pushes.at(-1)).toMatchObject({ device, from_no: 1 })
  expect([...shop.blobs.values()]).toEqual([TEXT])
  expect(shop.kept.size).toBe(1)
  expect(other.sync.strip.value).toMatchObject({ carried: 0, photos: 0, allSafe: true })
})

it('shows what it brings in the book before the shop has it', async () => {
  const { phone, file, texts } = await filled()
  await phone.store.disconnect()
  freshBrowser()
  const other = await open()
  await other.importFile(file)
  expect((await other.store.entriesOf(BUILD)).map(({ text }) => text)).toEqual(texts)
})

it('a file taken in twice changes nothing', async () => {
  const { phone, file } = await filled()
  await phone.store.disconnect()
  freshBrowser()
  const other = await open()
  await other.importFile(file)
  expect(await other.importFile(file)).toEqual({ entries: 0, photos: 1, already: 3 })
})

it('the phone itself, when it finds the shop after all, sends nothing twice', async () => {
  const { phone, file, texts } = await filled()
  const own = globalThis.indexedDB
  await phone.store.disconnect()
  freshBrowser()
  const other = await open()
  await other.importFile(file)
  await other.talk()
  await other.store.disconnect()
  vi.stubGlobal('indexedDB', own)
  const again = await open()
  await again.talk()
  expect(shop.book.map(({ text }) => text)).toEqual(texts)
  expect(again.sync.strip.value.allSafe).toBe(true)
})

it('what it carries can be handed on once more', async () => {
  const { phone, file } = await filled()
  await phone.store.disconnect()
  freshBrowser()
  const other = await open()
  await other.importFile(file)
  expect(await other.exportUnsent()).toMatchObject({ entries: 3, photos: 1 })
})

it.each([
  ['of another kind', async () => '{"a": 1}', 'not_ours'],
  ['that is no JSON', async () => 'PK\u0003\u0004', 'not_ours'],
  ['cut short', async (text: string) => text.slice(0, -40), 'damaged'],
  ['with a digit changed', async (text: string) => text.replace('2.1', '2.7'), 'damaged'],
])('takes in nothing of a file %s, and says why', async (_, change, code) => {
  const { phone, file } = await filled()
  await phone.store.disconnect()
  freshBrowser()
  const other = await open()
  const spoilt = new Blob([await change(await file.text())])
  await expect(other.importFile(spoilt)).rejects.toMatchObject({ code })
  expect(await other.store.counts()).toMatchObject({ carried: 0, photos: 0 })
})

it('takes the proof of a signature along, and whoever carries it hands it in', async () => {
  const proof = { person: 'p1', sealed: 'c2VhbGVk' }
  const phone = await open()
  await phone.store.record({ ...reading('2.1'), kind: 'step_signed', prove: async () => proof })
  const { file } = await phone.exportUnsent()
  const before = await file.text()
  freshBrowser()
  const other = await open()
  await other.importFile(file)
  expect(await (await other.exportUnsent()).file.text()).toContain('c2VhbGVk')
  await other.talk()
  expect(before).toContain('c2VhbGVk')
  expect(shop.pushes.at(-1)?.proofs).toEqual([{ device_no: 1, ...proof }])
})

it('gives its proof to an entry that was carried here without one', async () => {
  const phone = await open()
  const bare = await phone.store.record({ ...reading('2.1'), kind: 'step_signed' })
  const { file } = await phone.exportUnsent()
  await phone.store.putProofs([
    {
      which: { device: null, device_no: bare.device_no ?? 0 },
      proof: { person: 'p1', sealed: 'eA==' },
    },
  ])
  const proven = (await phone.exportUnsent()).file
  freshBrowser()
  const other = await open()
  for (const one of [file, proven]) await other.importFile(one)
  await other.talk()
  expect(shop.pushes.at(-1)?.proofs).toEqual([{ device_no: 1, person: 'p1', sealed: 'eA==' }])
})

it('takes nothing of a file in whose proof is of another form: the shop would refuse all of the push', async () => {
  const phone = await open()
  const odd = { person: 'p1', sealed: 7 } as never
  await phone.store.record({ ...reading('2.1'), kind: 'step_signed', prove: async () => odd })
  const { file } = await phone.exportUnsent()
  freshBrowser()
  await expect((await open()).importFile(file)).rejects.toMatchObject({ code: 'damaged' })
})

describe('a phone and its copy that gave one number to two entries', () => {
  /** A file of each, and what they wrote; the copy's phone is the one that is open. */
  async function twins(): Promise<{ phone: Phone; files: Blob[]; texts: string[] }> {
    let phone = await open()
    const { text: before } = await phone.store.record(reading('2.1'))
    const copy = await copyOf('standbook')
    const { text: mine } = await phone.store.record(reading('2.2'))
    const { file } = await phone.exportUnsent()
    await phone.store.disconnect()
    copy()
    await (await open()).store.cursor()
    await (await open()).store.disconnect()
    await fill('standbook')
    phone = await open()
    const { text: other } = await phone.store.record(reading('2.3'))
    return { phone, files: [file, (await phone.exportUnsent()).file], texts: [before, mine, other] }
  }

  /** Another phone that has taken in both files. */
  async function taker(): Promise<{ other: Phone; texts: string[] }> {
    const { phone, files, texts } = await twins()
    await phone.store.disconnect()
    freshBrowser()
    const other = await open()
    for (const file of files) await other.importFile(file)
    return { other, texts }
  }

  it('LG4: both are carried, in sight, and handed on', async () => {
    const { other, texts } = await taker()
    expect((await other.store.entriesOf(BUILD)).map(({ text }) => text)).toEqual(texts)
    const { file } = await other.exportUnsent()
    await other.store.disconnect()
    freshBrowser()
    const third = await open()
    expect(await third.importFile(file)).toMatchObject({ entries: 3 })
    expect(await third.importFile(file)).toMatchObject({ entries: 0, already: 3 })
  })

  it('LG4: the shop gets both under the number that they have, and keeps the later one back', async () => {
    const { other, texts } = await taker()
    await other.talk()
    expect(shop.book.map(({ text }) => text)).toEqual(texts.slice(0, 2))
    const [held, ...rest] = await other.store.heldEntries()
    expect(held).toMatchObject({ text: texts[2], device_no: 2, held: { code: 'same_number' } })
    expect(rest).toEqual([])
    await other.sync.dealWithHeld(2, 'a lead', 'entered again', held?.device)
    expect(await other.store.heldEntries()).toEqual([])
    await other.talk()
    expect(other.sync.strip.value.allSafe).toBe(true)
  })

  it('LG4: the later one is carried no more when the book turns out to have it', async () => {
    const { other, texts } = await taker()
    const { device } = JSON.parse(texts[0] ?? '')
    for (const [at, entries] of [[texts[0] ?? ''], [texts[2] ?? '']].entries())
      shop.push({ device, device_name: '', app_version: '', now: '', from_no: at + 1, entries })
    await other.talk()
    const held = await other.store.heldEntries()
    expect(held.map(({ text }) => text)).toEqual([texts[1]])
    expect(await other.store.entriesOf(BUILD)).toHaveLength(3)
  })

  it('LG4: the copy that takes in the file of the other finds out, and loses neither', async () => {
    const { phone, files, texts } = await twins()
    const { device } = await phone.store.identity()
    await phone.importFile(files[0] as Blob)
    expect(await phone.store.identity()).toMatchObject({ before: { device, why: 'copied' } })
    const here = await phone.store.entriesOf(BUILD)
    expect(here.map(({ text }) => text)).toEqual(expect.arrayContaining(texts))
    expect(here).toHaveLength(3)
    await phone.talk()
    expect(shop.book).toHaveLength(2)
    expect(await phone.store.heldEntries()).toHaveLength(1)
  })
})
