import { beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILD, freshBrowser, openTab, reading } from '../testing/device.ts'

beforeEach(() => {
  vi.unstubAllGlobals()
  vi.restoreAllMocks()
  freshBrowser()
})

describe('recording an entry', () => {
  it('LG1: the device makes the id, a UUID of version 7', async () => {
    const { record } = await openTab()
    const { id } = await record(reading())
    expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/)
  })

  it('LG2: writes the text once, with all fields of the ledger in it', async () => {
    const { record, entriesOf, identity } = await openTab()
    const stored = await record(reading())
    expect((await entriesOf(BUILD))[0]?.text).toBe(stored.text)
    expect(JSON.parse(stored.text)).toEqual({
      ...reading(),
      id: stored.id,
      device: (await identity()).device,
      device_no: 1,
      made_at: expect.stringMatching(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/),
      seen: 0,
    })
  })

  it('LG5: numbers 1, 2, 3 in the order of recording', async () => {
    const { record } = await openTab()
    const entries = await Promise.all([
      record(reading('1')),
      record(reading('2')),
      record(reading('3')),
    ])
    expect(entries.map((entry) => entry.device_no)).toEqual([1, 2, 3])
  })

  it('LG5: two tabs that record at once never take the same number', async () => {
    const one = await openTab()
    const two = await openTab()
    const both = [one, two].flatMap((tab) =>
      Array.from({ length: 10 }, () => tab.record(reading())),
    )
    const numbers = (await Promise.all(both)).map((entry) => entry.device_no)
    expect(numbers.sort((a, b) => Number(a) - Number(b))).toEqual(
      Array.from({ length: 20 }, (_, i) => i + 1),
    )
  })

  it('LG5: two tabs are one device', async () => {
    const one = await openTab()
    const two = await openTab()
    expect((await one.identity()).device).toBe((await two.identity()).device)
  })

  it('LG10: a clock three days off changes neither numbers nor order', async () => {
    const { record, entriesOf } = await openTab()
    const three = 3 * 24 * 3600 * 1000
    const clock = vi.spyOn(Date, 'now')
    const now = 1_790_000_000_000
    for (const at of [now, now + three, now - three]) {
      clock.mockReturnValue(at)
      await record(reading(String(at)))
    }
    const entries = await entriesOf(BUILD)
    expect(entries.map((entry) => entry.device_no)).toEqual([1, 2, 3])
    expect(new Set(entries.map((entry) => entry.id)).size).toBe(3)
  })

  it('writes text in NFC', async () => {
    const { record } = await openTab()
    const decomposed = 'u\u0308bergross'
    const { text } = await record({ ...reading(), body: { v: 1, note: decomposed } })
    expect(JSON.parse(text).body.note).toBe('\u00fcbergross')
  })

  it.each([
    ['half a surrogate pair', 'x\ud83d'],
    ['a NUL', 'x\0y'],
  ])('names %s as what is wrong and uses up no number', async (_, note) => {
    const { record } = await openTab()
    const bad = record({ ...reading(), body: { v: 1, note } })
    await expect(bad).rejects.toMatchObject({ code: 'bad_text', name: 'StoreFailure' })
    expect((await record(reading())).device_no).toBe(1)
  })

  it('refuses an entry of more than 32 KB by name and keeps its draft', async () => {
    const { record, draft, entriesOf } = await openTab()
    await draft.save('k', 'long')
    // 16 * 1024 characters of two bytes each: the limit counts bytes, not characters.
    const big = { ...reading(), body: { v: 1, note: 'ü'.repeat(16 * 1024) }, draft: 'k' }
    await expect(record(big)).rejects.toMatchObject({ code: 'too_large' })
    expect(await draft.load('k')).toBe('long')
    expect(await entriesOf(BUILD)).toEqual([])
  })

  it('LG13: blobs are on the disk with their entry or not at all', async () => {
    const { record, blobText } = await openTab()
    const blobs = [{ sha256: 'a'.repeat(64), text: 'shown' }]
    await record({ ...reading(), blobs })
    expect(await blobText('a'.repeat(64))).toBe('shown')
    const bad = {
      ...reading(),
      body: { note: '\0' },
      blobs: [{ sha256: 'b'.repeat(64), text: 'x' }],
    }
    await expect(record(bad)).rejects.toMatchObject({ code: 'bad_text' })
    expect(await blobText('b'.repeat(64))).toBeNull()
  })

  it('LG14: the draft goes exactly when the entry is there', async () => {
    const { record, draft } = await openTab()
    await draft.save('k', '2.44')
    await record({ ...reading(), draft: 'k' })
    expect(await draft.load('k')).toBeNull()
  })

  it('says at once which build has a new entry', async () => {
    const { record, onChange } = await openTab()
    const heard = vi.fn()
    onChange(heard)
    const entry = await record(reading())
    expect(heard).toHaveBeenCalledWith({ builds: [BUILD], entries: [entry] })
  })

  it('another tab hears of it too', async () => {
    const one = await openTab()
    const two = await openTab()
    const heard = vi.fn()
    two.onChange(heard)
    await one.record(reading())
    await vi.waitFor(() => expect(heard).toHaveBeenCalledWith({ builds: [BUILD], all: false }))
    expect(await two.entriesOf(BUILD)).toHaveLength(1)
  })

  it('LG13: what the camera gave becomes one entry, though two tabs take it up', async () => {
    const tabs = [await openTab(), await openTab()] as const
    const bytes = new TextEncoder().encode('a picture').buffer as ArrayBuffer
    const where = { build: BUILD, step: null, place: null, caption: '', person: 'p1' }
    const raw = await tabs[0].keepRaw(bytes, 'image/jpeg', where)
    const photo = { row: { sha256: 'a', bytes, type: 'image/jpeg', sent: 0 as const }, raw }
    const ends = await Promise.allSettled(tabs.map((tab) => tab.record({ ...reading(), photo })))
    expect(ends.filter(({ status }) => status === 'fulfilled')).toHaveLength(1)
    expect(ends.find((end) => end.status === 'rejected')?.reason).toMatchObject({
      code: 'entered_before',
    })
    expect(await tabs[1].entriesOf(BUILD)).toHaveLength(1)
  })
})
