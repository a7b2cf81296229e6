/** Faults of networks, of shops and of two tabs, each as one would show itself; beside the tests of each part. */
import { beforeEach, describe, expect, it } from 'vitest'
import { reading } from '../testing/device.ts'
import { columnsOf, type FakeShop } from '../testing/shop.ts'
import { firstTab, type Tab } from '../testing/tab.ts'
import { NoContact } from './failure.ts'
import { request, textAt, useFetch } from './http.ts'

let shop: FakeShop
let tab: Tab

async function recordSome(count: number): Promise<string[]> {
  const texts: string[] = []
  for (let n = 1; n <= count; n++) texts.push((await tab.store.record(reading(`2.${n}`))).text)
  return texts
}

function inTheBook(): string[] {
  return shop.book.map(({ text }) => text)
}

/** Everything that is asked at `path` is answered by `answer` from now on. */
function at(path: string, answer: () => Response): void {
  shop.trouble = (asked) => (asked.startsWith(path) ? answer() : null)
}

beforeEach(async () => {
  ;({ shop, tab } = await firstTab())
})

describe('somebody else in the network', () => {
  it('a page with status 200 is no answer to anything', async () => {
    useFetch(
      async () => new Response('<html>Sign in', { headers: { 'content-type': 'text/html' } }),
    )
    await expect(request('/sync/pull')).rejects.toThrow(NoContact)
  })

  it.each(['push', 'pull'])(
    'LG7: JSON of somebody else in answer to a %s is no contact, to a phone that knows the shop too',
    async (way) => {
      await tab.talk()
      const { lastContact } = tab.sync.strip.value
      await recordSome(1)
      at(`/sync/${way}`, () => Response.json({ hello: 'there' }))
      expect(await tab.talk()).toEqual({ ok: false })
      expect(tab.sync.strip.value).toMatchObject({ unsent: 1, online: false, lastContact })
      shop.trouble = () => null
      await tab.talk()
      expect(tab.sync.strip.value).toMatchObject({ safe: 1, allSafe: true })
    },
  )

  it('LG13: a text that breaks off in the middle is no contact', async () => {
    const body = new ReadableStream({
      start(controller) {
        controller.enqueue(new TextEncoder().encode('{"v": 1, '))
        controller.error(new TypeError('network error'))
      },
    })
    useFetch(async () => new Response(body))
    await expect(textAt('/blobs/1')).rejects.toThrow(NoContact)
  })
})

describe('what the strip says', () => {
  it.each([
    ['counts fewer', { count: 1 }],
    ['names another head', { head: 'f'.repeat(64) }],
  ])('LG7: is green only when the shop agrees: not when it %s', async (_, lie) => {
    await recordSome(2)
    const { device } = await tab.store.identity()
    const pull = shop.fetch
    tab.sync.useFetch(async (url, init) => {
      const answer = await pull(url, init)
      if (!url.includes('/sync/') || answer.status !== 200) return answer
      const body = await answer.json()
      return Response.json(body.mine ? { ...body, mine: { ...body.mine, ...lie } } : body)
    })
    await tab.talk()
    expect(tab.sync.strip.value).toMatchObject({ safe: 2, unsent: 0, allSafe: false })
    expect(shop.device(device).texts.size).toBe(2)
  })

  it('LG13: is not green while a text or a photo waits whose entries are safe', async () => {
    await recordSome(1)
    await tab.talk()
    expect(tab.sync.strip.value.allSafe).toBe(true)
    await tab.store.keepTextToSend('a'.repeat(64), 'what was shown')
    await tab.sync.recount()
    expect(tab.sync.strip.value).toMatchObject({ safe: 1, unsent: 0, allSafe: false })
  })
})

describe('a shop with another book', () => {
  it('LG9: of the same epoch, shorter than what is here, gets everything again', async () => {
    const texts = await recordSome(4)
    await tab.talk()
    const { epoch } = shop
    shop.restore(2)
    shop.epoch = epoch
    await tab.talk()
    await tab.talk()
    expect(inTheBook()).toEqual(texts)
    expect(tab.sync.strip.value).toMatchObject({ safe: 4, allSafe: true })
  })

  it('LG9: is spoken of, so that a lead hears of it', async () => {
    await recordSome(2)
    await tab.talk()
    shop.restore(1)
    await tab.talk()
    expect(String(tab.sync.strip.value.problem)).toMatch(/another copy of its book/)
  })
})

describe('a shop that leaves something out', () => {
  it('LG7: by ending before its own last number, is asked again and then named', async () => {
    for (const id of ['e1', 'e2', 'e3']) shop.append(JSON.stringify({ id }))
    const { fetch } = shop
    tab.sync.useFetch(async (url, init) => {
      const answer = await fetch(url.replace('form=columns', 'form=entries'), init)
      if (!url.includes('/sync/pull') || answer.status !== 200) return answer
      const body = await answer.json()
      const entries = body.entries.filter(({ seq }: { seq: number }) => seq < 3)
      const columns = columnsOf(entries)
      return Response.json({ ...body, entries: columns ? [] : entries, columns, more: false })
    })
    await tab.talk()
    expect(shop.pulls.length).toBeGreaterThan(1)
    expect(String(tab.sync.strip.value.problem)).toMatch(/does not come through whole/)
    tab.sync.useFetch(fetch)
    await tab.talk()
    expect(await tab.store.cursor()).toMatchObject({ after: 3 })
    expect(tab.sync.strip.value.problem).toBeNull()
  })
})

describe('two phones with one identity', () => {
  it('LG4: what was unsent under the old one reaches the shop', async () => {
    const before = await recordSome(3)
    await tab.store.leaveIdentity()
    const after = await recordSome(1)
    await tab.talk()
    expect(inTheBook().sort()).toEqual([...before, ...after].sort())
    expect(await tab.store.counts()).toMatchObject({ unsent: 0, carried: 0 })
  })
})

describe('a photo', () => {
  const bytes = Uint8Array.from({ length: 600 * 1024 }, (_, n) => (n * 7) % 256).buffer

  async function enter(): Promise<string> {
    const sha256 = await tab.store.sha256OfBytes(bytes)
    const row = { sha256, bytes, type: 'image/jpeg', sent: 0 as const }
    await tab.store.record({ ...reading(), kind: 'photo', photo: { row, raw: null } })
    return sha256
  }

  it('LG13: is not marked, nor sent without end, while the shop does not call it whole', async () => {
    const sha256 = await enter()
    const answer = { 'upload-offset': String(bytes.byteLength), 'upload-complete': '?0' }
    shop.trouble = (path, method) => {
      if (!path.startsWith('/photos/')) return null
      return new Response(null, { status: method === 'HEAD' ? 200 : 204, headers: answer })
    }
    await tab.talk()
    expect((await tab.store.photo(sha256))?.sent).toBe(0)
    shop.trouble = () => null
    await tab.talk()
    expect((await tab.store.photo(sha256))?.sent).toBe(1)
  })

  it('LG13: after a cut not a piece is sent that the shop has', async () => {
    const sha256 = await enter()
    const offsets: (string | null)[] = []
    let sent = 0
    const { fetch } = shop
    tab.sync.useFetch((url, init) => {
      if (init.method === 'PATCH') offsets.push(new Headers(init.headers).get('upload-offset'))
      return fetch(url, init)
    })
    shop.trouble = (_, method) => (method === 'PATCH' && ++sent === 2 ? 'cut request' : null)
    await tab.talk()
    await tab.talk()
    expect(offsets).toEqual(['0', '262144', '262144', '524288'])
    expect(shop.kept.has(sha256)).toBe(true)
  })
})

describe('the loop', () => {
  it('a wish to talk while the last talk ends makes one more, and waits for it', async () => {
    const { fetch } = shop
    let letGo = () => {}
    const pulling = new Promise<void>((reached) => {
      tab.sync.useFetch(async (url, init) => {
        if (url.includes('/sync/pull') && !shop.pulls.length) {
          reached()
          await new Promise<void>((resolve) => {
            letGo = resolve
          })
        }
        return fetch(url, init)
      })
    })
    const first = tab.sync.syncNow()
    await pulling
    await recordSome(1)
    const second = tab.sync.syncNow()
    letGo()
    await Promise.all([first, second])
    expect(tab.sync.strip.value).toMatchObject({ safe: 1 })
  })
})
