import { gunzipSync } from 'node:zlib'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILD, openSyncTab, reading } from '../testing/device.ts'
import type { FakeShop } from '../testing/shop.ts'
import { firstTab, type Tab } from '../testing/tab.ts'
import type { Push } from './wire.ts'

let shop: FakeShop
let tab: Tab

async function openAt(server: FakeShop): Promise<Tab> {
  const opened = await openSyncTab()
  opened.sync.useFetch(server.fetch)
  return opened
}

async function recordSome(count: number, opened: Tab = tab): Promise<string[]> {
  const texts: string[] = []
  for (let n = 1; n <= count; n++) texts.push((await opened.store.record(reading(`2.${n}`))).text)
  return texts
}

async function pushIn(init: RequestInit): Promise<Push> {
  const body = init.body
  const text = typeof body === 'string' ? body : gunzipSync(body as Uint8Array).toString()
  return JSON.parse(text)
}

function bookTexts(): string[] {
  return shop.book.map((entry) => entry.text)
}

/** Cuts the `nth` talk on `path` in the given way, counting from 1. */
function cut(path: string, nth: number, how: 'cut request' | 'cut reply'): void {
  let count = 0
  shop.trouble = (asked) => (asked.startsWith(path) && ++count === nth ? how : null)
}

beforeEach(async () => {
  ;({ shop, tab } = await firstTab())
})

describe('sending entries to the shop', () => {
  it('LG7: everything arrives once, in order, byte for byte, and then the strip is green', async () => {
    const texts = await recordSome(3)
    expect(await tab.talk()).toEqual({ ok: true })
    expect(bookTexts()).toEqual(texts)
    expect(tab.sync.strip.value).toMatchObject({
      unsent: 0,
      safe: 3,
      held: 0,
      online: true,
      allSafe: true,
      problem: null,
    })
  })

  it('sends batches of 200 from the first unsent number on', async () => {
    await recordSome(450)
    await tab.talk()
    expect(shop.pushes.map((push) => [push.from_no, push.entries.length])).toEqual([
      [1, 200],
      [201, 200],
      [401, 50],
    ])
    expect(tab.sync.strip.value).toMatchObject({ safe: 450, allSafe: true })
  })

  it('sends smaller batches when the shop finds one too large', async () => {
    await recordSome(8)
    shop.trouble = (path) => {
      if (path !== '/sync/push') return null
      const tooLarge = { error: { code: 'too_large', message: 'Smaller.', details: {} } }
      shop.trouble = () => null
      return Response.json(tooLarge, { status: 413 })
    }
    await tab.talk()
    expect(shop.pushes.map((push) => push.entries.length)).toEqual([4, 4])
    expect(tab.sync.strip.value).toMatchObject({ safe: 8, allSafe: true })
  })

  it('LG3: a push whose reply was cut is sent again and answered as already there', async () => {
    const texts = await recordSome(3)
    cut('/sync/push', 1, 'cut reply')
    expect(await tab.talk()).toEqual({ ok: false })
    expect(tab.sync.strip.value).toMatchObject({ unsent: 3, online: false, allSafe: false })
    expect(await tab.talk()).toEqual({ ok: true })
    expect(bookTexts()).toEqual(texts)
    expect(tab.sync.strip.value).toMatchObject({ safe: 3, allSafe: true })
  })

  it('LG3: one answer twice changes nothing', async () => {
    await recordSome(2)
    await tab.talk()
    expect(
      await tab.store.markAnswered([{ device_no: 1, sent: 'sent', held: null, seq: null }]),
    ).toBe(0)
    expect(tab.sync.strip.value).toMatchObject({ safe: 2, allSafe: true })
  })

  it.each(['cut request', 'cut reply'] as const)(
    'LG7: a pull with a %s leaves entries unsafe until a pull shows them',
    async (how) => {
      await recordSome(2)
      cut('/sync/pull', 1, how)
      await tab.talk()
      expect(tab.sync.strip.value).toMatchObject({ unsent: 2, safe: 0, allSafe: false })
      await tab.talk()
      expect(tab.sync.strip.value).toMatchObject({ unsent: 0, safe: 2, allSafe: true })
    },
  )

  it('LG5: a gap heals itself: the shop gets the number that it wants', async () => {
    await recordSome(3)
    await tab.store.markAnswered([
      { device_no: 1, sent: 'sent', held: null, seq: null },
      { device_no: 2, sent: 'sent', held: null, seq: null },
    ])
    await tab.talk()
    expect(shop.pushes.map((push) => push.from_no)).toEqual([3, 1])
    expect(shop.book).toHaveLength(3)
    expect(tab.sync.strip.value).toMatchObject({ safe: 3, allSafe: true })
  })

  it('LG6: a held-back entry holds up none behind it and stays in sight with its reason', async () => {
    await recordSome(3)
    shop.holds = '"2.2"'
    await tab.talk()
    expect(shop.book).toHaveLength(2)
    expect(tab.sync.strip.value).toMatchObject({ safe: 2, held: 1, unsent: 0, allSafe: false })
    expect(await tab.store.heldEntries()).toMatchObject([
      { device_no: 2, held: { code: 'bad_entry', message: 'Kept back.' }, seq: null },
    ])
  })

  it('LG6: the batches behind a held-back entry go out all the same', async () => {
    await recordSome(450)
    shop.holds = '"2.3"'
    await tab.talk()
    expect(shop.pushes.map((push) => push.from_no)).toEqual([1, 201, 401])
    expect(tab.sync.strip.value).toMatchObject({ safe: 449, held: 1, unsent: 0 })
  })

  it('LG6: a held-back entry is still there after a hundred talks and a new page', async () => {
    await recordSome(1)
    shop.holds = '"2.1"'
    for (let n = 0; n < 100; n++) await tab.talk()
    const later = await openAt(shop)
    await later.talk()
    expect(later.sync.strip.value).toMatchObject({ held: 1, allSafe: false })
    expect(shop.pushes).toHaveLength(1)
  })

  it('LG4: a number used twice is shown as held back, and the entry is kept', async () => {
    const [text] = await recordSome(1)
    const { device } = await tab.store.identity()
    shop.device(device).texts.set(1, 'another text')
    shop.device(device).next_no = 2
    await tab.talk()
    expect(await tab.store.heldEntries()).toMatchObject([
      { text, held: { code: 'same_number' }, seq: null },
    ])
  })

  it('LG6: a refused entry waits, with all behind it, and says why; nothing is dropped', async () => {
    await recordSome(3)
    shop.refuses = '"2.2"'
    expect(await tab.talk()).toEqual({ ok: false })
    expect(tab.sync.strip.value).toMatchObject({
      unsent: 2,
      safe: 1,
      problem: 'Sign in first.',
      online: true,
    })
    shop.refuses = null
    expect(await tab.talk()).toEqual({ ok: true })
    expect(tab.sync.strip.value).toMatchObject({ safe: 3, allSafe: true, problem: null })
  })

  it('LG6: an answer that this version does not know leaves the entry unsent', async () => {
    await recordSome(1)
    const push = shop.push.bind(shop)
    shop.push = (sent) => {
      const answer = push(sent)
      return { ...answer, answers: [{ ...answer.answers[0], result: 'later' as never } as never] }
    }
    shop.trouble = (path) => (path.startsWith('/sync/pull') ? 'cut request' : null)
    await tab.talk()
    expect(await tab.store.counts()).toMatchObject({ unsent: 1 })
  })

  it('a shop that asks for the same number for ever does not keep the phone busy', async () => {
    await recordSome(2)
    shop.push = (push) => {
      shop.pushes.push(push)
      return {
        answers: [],
        next_no: 1,
        epoch: shop.epoch,
        last_seq: 0,
        server_now: '',
        mine: { count: 0, next_no: 1, head: null },
      }
    }
    await tab.talk()
    expect(shop.pushes.length).toBeLessThan(4)
    expect(await tab.store.counts()).toMatchObject({ unsent: 2 })
  })

  it('LG13: blobs reach the shop and count until they have', async () => {
    const text = 'what was shown'
    const sha256 = await tab.store.sha256(text)
    await tab.store.record({ ...reading(), blobs: [{ sha256, text }] })
    cut('/blobs/', 1, 'cut request')
    await tab.talk()
    expect(tab.sync.strip.value).toMatchObject({ safe: 1, allSafe: false })
    await tab.talk()
    expect(shop.blobs.get(sha256)).toBe(text)
    expect(tab.sync.strip.value).toMatchObject({ allSafe: true })
  })

  it('LG10: a clock three days off changes nothing about what is sent, and is told as a claim', async () => {
    vi.useFakeTimers({ toFake: ['Date'], now: Date.now() - 3 * 24 * 3600 * 1000 })
    const texts = await recordSome(3)
    await tab.talk()
    vi.useRealTimers()
    expect(bookTexts()).toEqual(texts)
    expect(tab.sync.strip.value).toMatchObject({ safe: 3, allSafe: true })
  })
})

describe('what answers in place of the shop', () => {
  const page = '<html>Please sign in to this network</html>'

  it.each([
    [
      'a page with status 200',
      () => new Response(page, { headers: { 'content-type': 'text/html' } }),
    ],
    [
      'a page that says it is JSON',
      () => new Response(page, { headers: { 'content-type': 'application/json' } }),
    ],
    ['JSON of somebody else', () => Response.json({ hello: 'there' })],
    [
      'an error page',
      () => new Response(page, { status: 403, headers: { 'content-type': 'text/html' } }),
    ],
  ])('takes %s for no contact', async (_, answer) => {
    await recordSome(2)
    shop.trouble = answer
    expect(await tab.talk()).toEqual({ ok: false })
    expect(tab.sync.strip.value).toMatchObject({ unsent: 2, online: false, lastContact: null })
    expect(tab.sync.strip.value.problem).toMatch(/Something else than the shop/)
    shop.trouble = () => null
    await tab.talk()
    expect(tab.sync.strip.value).toMatchObject({ safe: 2, problem: null, allSafe: true })
  })

  it('says nothing about a shop that is simply out of reach', async () => {
    shop.trouble = () => 'cut request'
    await tab.talk()
    expect(tab.sync.strip.value).toMatchObject({ online: false, problem: null })
  })

  it('shows the shop’s own words when it is in trouble', async () => {
    await recordSome(1)
    const full = {
      error: { code: 'disk_full', message: 'The server’s disk is full.', details: {} },
    }
    shop.trouble = () => Response.json(full, { status: 507 })
    expect(await tab.talk()).toEqual({ ok: false })
    expect(tab.sync.strip.value).toMatchObject({ unsent: 1, problem: 'The server’s disk is full.' })
  })

  it('LG7: a record whose hash does not cover the sent bytes makes nothing safe', async () => {
    await recordSome(1)
    const append = shop.append.bind(shop)
    shop.append = (text) => Object.assign(append(text), { hash: 'e'.repeat(64) })
    await tab.talk()
    expect(tab.sync.strip.value).toMatchObject({ safe: 0, unsent: 1, allSafe: false })
    expect(tab.sync.strip.value.problem).toMatch(/does not come through whole/)
  })
})

describe('pulling', () => {
  it('brings pages of 1000 until nothing is newer, then asks with the tag of the last answer', async () => {
    for (let n = 1; n <= 2100; n++) shop.append(JSON.stringify({ id: `e${n}`, build: BUILD }))
    await tab.talk()
    expect(await tab.store.entriesOf(BUILD)).toHaveLength(2100)
    await tab.talk()
    await tab.talk()
    expect(shop.pulls.length).toBe(5)
    expect(await tab.store.complete()).toBe(true)
  })

  it('LG9: a restored server gets everything again, and the phone says so', async () => {
    const texts = await recordSome(4)
    await tab.talk()
    shop.restore(2)
    await tab.talk()
    expect(bookTexts()).toEqual(texts)
    expect(tab.sync.strip.value).toMatchObject({ safe: 4, unsent: 0, allSafe: true })
    expect(tab.sync.strip.value.problem).toMatch(/another copy of its book/)
  })

  describe('with two batches on their way', () => {
    /** A shop that takes its time; pushes with these first numbers reach it in this order, whichever came first. */
    function slowShop(order: number[] = []): { most: () => number } {
      const waiting = new Map<number, () => void>()
      let [open, most] = [0, 0]
      const isNext = (from: number) => !order.includes(from) || order[0] === from
      tab.sync.useFetch(async (url, init) => {
        if (!url.includes('/sync/push')) return shop.fetch(url, init)
        const { from_no } = await pushIn(init)
        most = Math.max(most, ++open)
        if (!isNext(from_no)) await new Promise<void>((come) => waiting.set(from_no, come))
        await new Promise((later) => setTimeout(later, 20))
        const answer = await shop.fetch(url, init)
        if (order[0] === from_no) order.shift()
        waiting.get(order[0] ?? 0)?.()
        open--
        return answer
      })
      return { most: () => most }
    }

    it('the first goes alone, then never more than two', async () => {
      const texts = await recordSome(1100)
      const { most } = slowShop()
      await tab.talk()
      expect(bookTexts()).toEqual(texts)
      expect(shop.pushes.map((push) => push.from_no)).toEqual([1, 201, 401, 601, 801, 1001])
      expect(most()).toBe(2)
    })

    it('LG5: the second that comes first is sent again, and from then on one at a time', async () => {
      const texts = await recordSome(1100)
      const { most } = slowShop([401, 201])
      await tab.talk()
      expect(most()).toBe(2)
      expect(bookTexts()).toEqual(texts)
      // What 401 heard is that 201 is wanted.
      const sent = shop.pushes.map((push) => push.from_no)
      expect(sent).toEqual([1, 401, 201, 601, 201, 401, 601, 801, 1001])
      expect(tab.sync.strip.value).toMatchObject({ safe: 1100, unsent: 0, allSafe: true })
    })

    it.each(['cut request', 'cut reply'] as const)(
      'LG3: where the first is lost (%s), both are sent again and each is there once',
      async (how) => {
        const texts = await recordSome(900)
        slowShop()
        cut('/sync/push', 2, how)
        expect(await tab.talk()).toEqual({ ok: false })
        expect(shop.pushes.map((push) => push.from_no)).toContain(401)
        expect((await tab.store.counts()).unsent).toBe(700)
        shop.trouble = () => null
        expect(await tab.talk()).toEqual({ ok: true })
        expect(bookTexts()).toEqual(texts)
        expect(tab.sync.strip.value).toMatchObject({ safe: 900, unsent: 0, allSafe: true })
      },
    )

    it('LG6: behind a refused entry nothing goes past it', async () => {
      const texts = await recordSome(900)
      slowShop()
      shop.refuses = '2.350"'
      await tab.talk()
      expect(bookTexts()).toEqual(texts.slice(0, 349))
      shop.refuses = null
      await tab.talk()
      expect(bookTexts()).toEqual(texts)
    })
  })

  it('LG9: a server that is restored between two batches gets what it lost, in order', async () => {
    const texts = await recordSome(650)
    let pushes = 0
    shop.trouble = (path) => {
      if (path === '/sync/push' && ++pushes === 3) shop.restore(50)
      return null
    }
    await tab.talk()
    expect(bookTexts()).toEqual(texts)
    // 601 was on its way beside 401, which the restored server has no use for yet.
    expect(shop.pushes.map((push) => push.from_no)).toEqual([1, 201, 401, 601, 51, 251, 451])
    expect(tab.sync.strip.value).toMatchObject({ safe: 650, unsent: 0, allSafe: true })
  })

  it('LG9: of a book that does not follow on, the page asked for ahead is not taken', async () => {
    await recordSome(3)
    await tab.talk()
    shop.book = []
    for (let n = 1; n <= 1100; n++) shop.append(JSON.stringify({ id: `e${n}`, build: BUILD }))
    await tab.talk()
    const afters = shop.pulls.map((pull) => Number(new URLSearchParams(pull).get('after')))
    expect(afters.slice(0, 5)).toEqual([0, 3, 1003, 0, 1000])
    expect(await tab.store.complete()).toBe(true)
  })

  it('LG9: entries made while the server was restored are not lost either', async () => {
    const texts = await recordSome(4)
    await tab.talk()
    shop.restore(0)
    const more = [(await tab.store.record(reading('9.9'))).text]
    await tab.talk()
    expect(bookTexts()).toEqual([...texts, ...more])
    expect(tab.sync.strip.value).toMatchObject({ safe: 5, allSafe: true })
  })

  it('LG9: a phone that never pulled from the book that was lost offers its entries to the restored one', async () => {
    const texts = await recordSome(2)
    cut('/sync/pull', 1, 'cut reply')
    await tab.talk()
    expect(bookTexts()).toEqual(texts)
    shop.trouble = () => null
    shop.restore(0)
    await tab.talk()
    await tab.talk()
    expect(bookTexts()).toEqual(texts)
    expect(tab.sync.strip.value).toMatchObject({ safe: 2, allSafe: true })
  })

  it('LG9: what others made and the restored server lost is offered though the first talk with it was cut', async () => {
    const other = JSON.stringify({ id: 'e1', build: BUILD, device: 'another', device_no: 1 })
    shop.append(other)
    await tab.talk()
    shop.restore(0)
    let pulls = 0
    shop.trouble = (path) => (path.startsWith('/sync/pull') && ++pulls === 2 ? 'cut reply' : null)
    await recordSome(1)
    await tab.talk()
    shop.trouble = () => null
    await tab.talk()
    await tab.talk()
    expect(bookTexts()).toContain(other)
  })

  it('takes nobody else’s JSON for the shop’s people', async () => {
    shop.trouble = (path) =>
      path === '/shop' || path === '/session' ? Response.json({ status: 'login required' }) : null
    await tab.talk()
    expect(tab.sync.shop.value).toBe(null)
    expect(tab.sync.session.value).toBe(null)
    shop.trouble = () => null
    await tab.talk()
    expect(tab.sync.shop.value?.people).toEqual([])
    expect(tab.sync.session.value).toEqual({ person: null })
  })

  it.each([
    ['an empty yes', () => new Response(null, { status: 204 })],
    ['somebody else’s JSON', () => Response.json({ status: 'login required' })],
  ])('LG13: a text that is answered by %s is not taken for kept by the shop', async (_, answer) => {
    const blob = { sha256: await tab.store.sha256('what was shown'), text: 'what was shown' }
    await tab.store.record({ ...reading(), blobs: [blob] })
    shop.trouble = (path) => (path.startsWith('/blobs/') ? answer() : null)
    await tab.talk()
    shop.trouble = () => null
    await tab.talk()
    expect([...shop.blobs.keys()]).toEqual([blob.sha256])
  })

  it('LG9: a restored server gets the texts again that it lost', async () => {
    const blob = { sha256: await tab.store.sha256('what was shown'), text: 'what was shown' }
    await tab.store.record({ ...reading(), blobs: [blob] })
    await tab.talk()
    shop.restore(0)
    shop.blobs.clear()
    await tab.talk()
    expect([...shop.blobs]).toEqual([[blob.sha256, blob.text]])
  })

  it('LG7: history that lost a piece on the phone is pulled anew', async () => {
    for (let n = 1; n <= 450; n++) shop.append(JSON.stringify({ id: `e${n}`, build: BUILD }))
    await tab.talk()
    const { openDB } = await import('idb')
    const db = await openDB('standbook')
    await db.delete('chunks', 0)
    db.close()
    const later = await openAt(shop)
    await later.talk()
    expect(await later.store.entriesOf(BUILD)).toHaveLength(450)
    expect(await later.store.complete()).toBe(true)
  })

  it('two tabs talk in turn and neither stores twice', async () => {
    const other = await openAt(shop)
    await recordSome(5)
    await recordSome(5, other)
    await Promise.all([tab.talk(), other.talk()])
    expect(shop.pushes.map((push) => push.entries.length)).toEqual([10])
    expect(await other.store.counts()).toMatchObject({ safe: 10 })
    expect(await other.store.complete()).toBe(true)
  })

  it('after a new start the strip remembers the last contact', async () => {
    await recordSome(1)
    await tab.talk()
    const later = await openAt(shop)
    await later.sync.recallContact()
    expect(later.sync.strip.value).toMatchObject({ safe: 1, allSafe: true, online: false })
    expect(later.sync.strip.value.lastContact).toBe(tab.sync.strip.value.lastContact)
  })
})
