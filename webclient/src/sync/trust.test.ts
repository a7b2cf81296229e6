import { beforeEach, describe, expect, it, vi } from 'vitest'
import { clearBook, freshBrowser, openSyncTab, reading } from '../testing/device.ts'
import { FakeDoor, fits, signedText } from '../testing/door.ts'
import { FakeShop } from '../testing/shop.ts'
import type { Push } from './wire.ts'

type Tab = Awaited<ReturnType<typeof openSyncTab>>

let shop: FakeShop
let door: FakeDoor
let tab: Tab

async function open(): Promise<Tab> {
  const opened = await openSyncTab()
  opened.sync.useFetch(shop.fetch)
  return opened
}

async function recordSome(count: number): Promise<string[]> {
  const texts: string[] = []
  for (let n = 1; n <= count; n++) texts.push((await tab.store.record(reading(`2.${n}`))).text)
  return texts
}

async function me(): Promise<string> {
  return (await tab.store.identity()).device
}

async function keyOf(opened: Tab = tab): Promise<string> {
  const { device } = await opened.store.identity()
  return (await opened.store.deviceKey(device))?.publicKey ?? ''
}

/** This phone has joined before; its cookie is gone. */
async function joinedBefore(): Promise<void> {
  door.known.set(await me(), { key: await keyOf(), cutOff: false })
}

async function joined(): Promise<void> {
  door.codes.add('7K3F9QPM')
  await tab.sync.join('7K3F9QPM')
}

function onTheNetwork(): void {
  door = new FakeDoor()
  shop.door = door
}

function inTheBook(): string[] {
  return shop.book.map(({ text }) => text)
}

function proofs(): number {
  return door.asked.filter((path) => path === '/devices/proof').length
}

const code = (failure: { code?: string }) => failure.code

beforeEach(async () => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
  freshBrowser()
  shop = new FakeShop()
  tab = await open()
})

describe('a batch', () => {
  const signedBy = (key: string, push: Push) => fits(key, push.signature ?? '', signedText(push))

  it('is under this device’s key, every one of a long life', async () => {
    await recordSome(450)
    await tab.talk()
    expect(shop.pushes.map(({ entries }) => entries.length)).toEqual([200, 200, 50])
    const key = await keyOf()
    expect(shop.pushes.map((push) => signedBy(key, push))).toEqual([true, true, true])
  })

  it('that is made smaller is signed anew', async () => {
    await recordSome(4)
    let refused = false
    shop.trouble = (path) => {
      if (path !== '/sync/push' || refused) return null
      refused = true
      return Response.json(
        { error: { code: 'too_large', message: 'x', details: {} } },
        { status: 413 },
      )
    }
    await tab.talk()
    const key = await keyOf()
    expect(shop.pushes.map(({ entries }) => entries.length)).toEqual([2, 2])
    expect(shop.pushes.every((push) => signedBy(key, push))).toBe(true)
  })

  it('of another device is under the key of who carries it', async () => {
    const texts = await recordSome(2)
    const before = await me()
    await tab.store.leaveIdentity()
    await tab.talk()
    expect(inTheBook()).toEqual(texts)
    const [push] = shop.pushes
    expect(push).toMatchObject({ device: before, carrier: await me() })
    expect(push && signedBy(await keyOf(), push)).toBe(true)
  })

  it('goes without a signature where the browser has no key', async () => {
    const { randomUUID, getRandomValues, subtle } = crypto
    vi.stubGlobal('crypto', {
      randomUUID: randomUUID.bind(crypto),
      getRandomValues: getRandomValues.bind(crypto),
      subtle: { digest: subtle.digest.bind(subtle) },
    })
    const texts = await recordSome(1)
    expect(await tab.talk()).toEqual({ ok: true })
    expect(inTheBook()).toEqual(texts)
    expect(shop.pushes[0]?.signature).toBe('')
  })
})

describe('a device on the shop’s network', () => {
  beforeEach(onTheNetwork)

  it('that has joined proves its key and asks the same again', async () => {
    await joinedBefore()
    const texts = await recordSome(2)
    expect(await tab.talk()).toEqual({ ok: true })
    expect(inTheBook()).toEqual(texts)
    expect(door.asked).toEqual(['/devices/challenge', '/devices/proof'])
    expect(tab.sync.trust.value).toBe('joined')
  })

  it('proves it once for ten requests at a time, and not again for one that comes back late', async () => {
    await joinedBefore()
    let late = (_: Response) => {}
    shop.trouble = () => null
    const slow = new Promise<Response>((answer) => {
      late = answer
    })
    const { fetch } = shop
    let first = true
    tab.sync.useFetch((url, init) => {
      if (!url.endsWith('/held') || !first) return fetch(url, init)
      first = false
      return slow
    })
    const waiting = tab.sync.heldBack()
    await Promise.all(Array.from({ length: 10 }, () => tab.sync.request('/shop')))
    expect(proofs()).toBe(1)
    late(
      Response.json({ error: { code: 'not_joined', message: 'x', details: {} } }, { status: 401 }),
    )
    // The shop of these tests has no list of them: it was asked once more, and let in.
    expect(await waiting.catch(code)).toBe('not_found')
    expect(proofs()).toBe(1)
  })

  it('is not let in for ever: a shop that goes on refusing is asked twice and no more', async () => {
    await joinedBefore()
    let asked = 0
    shop.trouble = (path) => {
      if (path !== '/shop') return null
      asked += 1
      return Response.json(
        { error: { code: 'not_joined', message: 'x', details: {} } },
        { status: 401 },
      )
    }
    expect(await tab.sync.request('/shop').catch(code)).toBe('not_joined')
    expect([asked, proofs()]).toEqual([2, 1])
  })

  it('that has not joined says so, keeps everything, and sends it once it has', async () => {
    const texts = await recordSome(3)
    expect(await tab.talk()).toEqual({ ok: false })
    expect(tab.sync.strip.value).toMatchObject({ trust: 'not joined', unsent: 3 })
    await expect(tab.sync.join('WRONG')).rejects.toMatchObject({ code: 'code_wrong' })
    expect(tab.sync.trust.value).toBe('not joined')
    await joined()
    expect(tab.sync.trust.value).toBe('joined')
    expect(await tab.talk()).toEqual({ ok: true })
    expect(inTheBook()).toEqual(texts)
    expect(tab.sync.strip.value).toMatchObject({ trust: 'joined', unsent: 0, problem: null })
  })

  it('is let in again when another tab has joined', async () => {
    await tab.talk()
    expect(tab.sync.trust.value).toBe('not joined')
    const first = tab
    tab = await open()
    await joined()
    expect(await first.talk()).toEqual({ ok: true })
    expect(first.sync.trust.value).not.toBe('not joined')
  })

  it('joins as the browser in which somebody has signed in', async () => {
    const texts = await recordSome(1)
    await tab.talk()
    expect(tab.sync.trust.value).toBe('not joined')
    door.person = true
    await tab.sync.findSession()
    expect(await tab.talk()).toEqual({ ok: true })
    expect([inTheBook(), door.cookie, tab.sync.trust.value]).toEqual([texts, await me(), 'joined'])
  })

  it('joins so when a push is refused, and nobody is signed out by that', async () => {
    door.person = true
    const texts = await recordSome(1)
    await tab.sync.findSession()
    expect(await tab.talk()).toEqual({ ok: true })
    expect(inTheBook()).toEqual(texts)
    expect(tab.sync.session.value?.person).not.toBeNull()
  })

  it('that is cut off says so, loses nothing, and is let in by a new code', async () => {
    await joined()
    const device = await me()
    door.known.set(device, { key: await keyOf(), cutOff: true })
    const texts = await recordSome(2)
    expect(await tab.talk()).toEqual({ ok: false })
    expect(tab.sync.strip.value).toMatchObject({ trust: 'cut off', unsent: 2 })
    expect(tab.sync.strip.value.problem).toMatch(/cut this device off/)
    expect(inTheBook()).toEqual([])
    await joined()
    expect(await tab.talk()).toEqual({ ok: true })
    expect(inTheBook()).toEqual(texts)
  })

  it('that is cut off in the midst of a session is told by the push itself', async () => {
    await joined()
    shop.trouble = (path) =>
      path === '/sync/push'
        ? Response.json({ error: { code: 'cut_off', message: 'x', details: {} } }, { status: 403 })
        : null
    await recordSome(1)
    expect(await tab.talk()).toEqual({ ok: false })
    expect([tab.sync.trust.value, proofs()]).toEqual(['cut off', 0])
  })

  it('is the same to the shop after its identity was left, under its new name and key', async () => {
    await joined()
    const texts = await recordSome(2)
    const before = await me()
    await tab.store.leaveIdentity()
    expect(await tab.talk()).toEqual({ ok: true })
    const after = await me()
    expect(after).not.toBe(before)
    expect([inTheBook(), door.cookie]).toEqual([texts, after])
    expect(door.known.get(after)?.key).toBe(await keyOf())
    expect(door.asked.filter((path) => path === '/devices/renamed')).toHaveLength(1)
  })

  it('is the same to the shop after its storage was cleared', async () => {
    await joined()
    await tab.store.disconnect()
    clearBook()
    tab = await open()
    const texts = await recordSome(1)
    expect(await tab.talk()).toEqual({ ok: true })
    expect([inTheBook(), door.cookie, tab.sync.trust.value]).toEqual([texts, await me(), 'joined'])
  })

  it('has to join anew when its storage was cleared and its cookie with it', async () => {
    await joined()
    await tab.store.disconnect()
    clearBook()
    door.cookie = null
    tab = await open()
    await recordSome(1)
    expect(await tab.talk()).toEqual({ ok: false })
    expect(tab.sync.trust.value).toBe('not joined')
  })

  it('does not take another’s name for its own: what it may not say for others is refused once', async () => {
    await joined()
    let asked = 0
    shop.trouble = (path) => {
      if (!path.startsWith('/devices/other/')) return null
      asked += 1
      return Response.json(
        { error: { code: 'other_device', message: 'x', details: {} } },
        { status: 403 },
      )
    }
    expect(await tab.sync.dealWithHeld(1, 'p1', 'seen', 'other').catch(code)).toBe('other_device')
    expect([asked, proofs()]).toEqual([1, 0])
  })

  it('whose identity the shop knows under another key goes on under a new one', async () => {
    const before = await me()
    door.known.set(before, { key: 'another', cutOff: false })
    const texts = await recordSome(1)
    await joined()
    expect(await me()).not.toBe(before)
    expect(await tab.talk()).toEqual({ ok: true })
    expect(inTheBook()).toEqual(texts)
  })

  it('does not go by its clock: one that stands in 2019 joins, proves and sends', async () => {
    vi.useFakeTimers({ now: new Date('2019-03-01'), toFake: ['Date'] })
    await joined()
    door.cookie = null
    const texts = await recordSome(1)
    expect(await tab.talk()).toEqual({ ok: true })
    expect([inTheBook(), proofs()]).toEqual([texts, 1])
  })

  it.each(['/devices/challenge', '/devices/proof'])(
    'takes a stranger’s answer at %s for no contact, not for a refusal',
    async (way) => {
      await joinedBefore()
      shop.trouble = (path) => (path === way ? Response.json({ status: 'login required' }) : null)
      await recordSome(1)
      expect(await tab.talk()).toEqual({ ok: false })
      expect(tab.sync.trust.value).toBe('unknown')
      expect(tab.sync.strip.value.problem).toMatch(/Something else than the shop/)
    },
  )

  it('proves its key for a photo, whose refusal comes without a word', async () => {
    await joinedBefore()
    const bytes = new ArrayBuffer(9)
    const sha256 = await tab.store.sha256OfBytes(bytes)
    await tab.store.carryPhoto({ sha256, type: 'image/jpeg', sent: 0, bytes })
    let refused = false
    shop.trouble = (_, method) => {
      if (method !== 'HEAD' || refused) return null
      refused = true
      door.cookie = null
      return new Response(null, { status: 401 })
    }
    expect(await tab.talk()).toEqual({ ok: true })
    expect([shop.kept.has(sha256), refused]).toEqual([true, true])
  })
})

it('LG4: a copied phone ends under a name and key of its own at the shop, though it has nothing more to send', async () => {
  onTheNetwork()
  await joined()
  await recordSome(1)
  await tab.talk()
  const [device, key] = [await me(), await keyOf()]
  shop.device(device).next_no = 3
  shop.device(device).texts.set(2, '{"of":"the twin"}')
  await recordSome(1)
  expect(await tab.talk()).toEqual({ ok: true })
  tab = await open()
  expect(await tab.talk()).toEqual({ ok: true })
  expect(await me()).not.toBe(device)
  expect(door.cookie).toBe(await me())
  expect(door.known.get(await me())?.key).not.toBe(key)
})
