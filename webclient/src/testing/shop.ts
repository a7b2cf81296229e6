/**
 * A shop's server for tests: numbers, answers and history by the rules of the ledger, and a network that can be
 * cut before or after the server has done its work.
 */
import { createHash } from 'node:crypto'
import { gunzipSync } from 'node:zlib'
import type {
  Answer,
  Columns,
  Pulled,
  PulledEntry,
  Push,
  Pushed,
  Seal,
  ShopPerson,
} from '../sync/wire.ts'
import type { FakeDoor } from './door.ts'

export type Trouble = (
  path: string,
  method: string,
) => 'cut request' | 'cut reply' | Response | null

const ZERO = '0'.repeat(64)
const JSON_TYPE = { 'content-type': 'application/json' }

function json(body: unknown, status = 200, headers: Record<string, string> = {}): Response {
  return new Response(JSON.stringify(body), { status, headers: { ...JSON_TYPE, ...headers } })
}

/** A page as the shop's `ledger/columns.py` takes it apart; null of an empty one. */
export function columnsOf(entries: PulledEntry[]): Columns | null {
  const [first, last] = [entries[0], entries.at(-1)]
  if (!first || !last) return null
  const pieces = entries.map(({ text }) => text.split(',"'))
  const sizes = [...new Set(pieces.map(({ length }) => length))]
  const tables = sizes.map((size) => {
    const rows = pieces.filter(({ length }) => length === size)
    return Array.from({ length: size }, (_, at) => {
      const column = rows.map((row) => row[at] ?? '')
      return new Set(column).size === 1 ? (column[0] ?? '') : column
    })
  })
  return {
    first_seq: first.seq,
    prev: first.prev,
    hash: last.hash,
    received_at: entries.map((entry) => entry.received_at),
    order: pieces.map(({ length }) => sizes.indexOf(length)),
    tables,
  }
}

interface Device {
  next_no: number
  held: number
  texts: Map<number, string>
}

export class FakeShop {
  epoch = 'epoch-1'
  book: PulledEntry[] = []
  devices = new Map<string, Device>()
  blobs = new Map<string, string>()
  /** What has come of each photo; those in `kept` are whole. */
  uploads = new Map<string, Buffer>()
  kept = new Set<string>()
  /** Held-back numbers that somebody has dealt with, by device. */
  dealt = new Map<string, number[]>()
  pushes: Push[] = []
  pulls: string[] = []
  /** Entries with this in their text are held back. */
  holds: string | null = null
  /** Entries with this in their text are refused. */
  refuses: string | null = null
  trouble: Trouble = () => null
  /** What the shop says of its people. */
  lists: { people: ShopPerson[]; seal: Seal | null; pins: string } = {
    people: [],
    seal: null,
    pins: '',
  }
  /** What the shop says to an entry besides the rules of numbers; null: it takes it. */
  rule: (entry: { id: string }, push: Push) => { code: string; message: string } | null = () => null
  /** Who is let in; null: the shop is served on its own machine alone. */
  door: FakeDoor | null = null
  /** A shop that knows nothing of pages as columns. */
  older = false

  readonly fetch = async (url: string, init: RequestInit): Promise<Response> => {
    const { pathname, searchParams } = new URL(url, 'http://shop.test')
    const path = pathname.replace('/api/v1', '')
    const trouble = this.trouble(path, init.method ?? 'GET')
    if (trouble === 'cut request') throw new TypeError('Failed to fetch')
    if (trouble instanceof Response) return trouble
    const answer = await this.answer(path, searchParams, init)
    if (trouble === 'cut reply') throw new TypeError('network error')
    return answer
  }

  private async answer(path: string, query: URLSearchParams, init: RequestInit): Promise<Response> {
    const met = this.door?.meet(path, () => JSON.parse(textOf(init)))
    if (met) return met
    if (path === '/sync/push') return this.pushed(JSON.parse(textOf(init)))
    if (path === '/sync/pull') return this.pull(query, new Headers(init.headers))
    if (path === '/shop')
      return json({ shop: { id: 's', name: 'A shop' }, instruments: [], ...this.lists })
    if (path === '/session')
      return json({ person: this.door?.person ? { id: 'l', name: 'L', role: 'lead' } : null })
    if (path.startsWith('/photos/')) return this.photo(path.slice('/photos/'.length), init)
    const dealing = /^\/devices\/(.+)\/held\/(\d+)\/dealt$/.exec(path)
    if (dealing?.[1]) return this.deal(dealing[1], Number(dealing[2]))
    if (path.startsWith('/blobs/')) return this.putBlob(path.slice('/blobs/'.length), textOf(init))
    return json({ error: { code: 'not_found', message: 'Nothing here.', details: {} } }, 404)
  }

  private putBlob(hash: string, text: string): Response {
    this.blobs.set(hash, text)
    return json({ sha256: hash })
  }

  private deal(device: string, number: number): Response {
    this.dealt.set(device, [...(this.dealt.get(device) ?? []), number])
    return new Response(null, { status: 204 })
  }

  private photo(sha256: string, init: RequestInit): Response {
    const come = this.uploads.get(sha256)
    if (init.method === 'HEAD') return come ? this.photoState(sha256) : json({}, 404)
    const headers = new Headers(init.headers)
    const offset = Number(headers.get('upload-offset'))
    const here = come ?? Buffer.alloc(0)
    if (offset !== here.length) return wrongOffset(here.length)
    this.uploads.set(sha256, Buffer.concat([here, Buffer.from(init.body as ArrayBuffer)]))
    if (headers.get('upload-complete') === '?1') this.kept.add(sha256)
    return this.photoState(sha256, 204)
  }

  private photoState(sha256: string, status = 200): Response {
    const headers = {
      'upload-offset': String(this.uploads.get(sha256)?.length ?? 0),
      'upload-complete': this.kept.has(sha256) ? '?1' : '?0',
    }
    return new Response(null, { status, headers })
  }

  device(id: string): Device {
    const known = this.devices.get(id) ?? { next_no: 1, held: 0, texts: new Map() }
    this.devices.set(id, known)
    return known
  }

  private pushed(push: Push): Response {
    return this.door?.refuses(push) ?? json(this.push(push))
  }

  push(push: Push): Pushed {
    this.pushes.push(push)
    const answers = push.entries.map((text, at) => this.take(push, push.from_no + at, text))
    return {
      answers,
      next_no: this.device(push.device).next_no,
      epoch: this.epoch,
      last_seq: this.book.length,
      server_now: '2026-11-01T00:00:00.000Z',
      mine: this.mine(push.device),
    }
  }

  private take(push: Push, device_no: number, text: string): Answer {
    const device = this.device(push.device)
    const answer = { device_no, id: JSON.parse(text).id, seq: null, code: null, message: null }
    const known = device.texts.get(device_no)
    if (known !== undefined) return this.again(answer, known === text)
    if (device_no !== device.next_no) {
      return { ...answer, result: 'refused', code: 'number_gap', message: 'A number is missing.' }
    }
    const ruled = this.rule(JSON.parse(text), push)
    if (ruled) return { ...answer, result: 'refused', ...ruled }
    if (this.refuses && text.includes(this.refuses)) {
      return { ...answer, result: 'refused', code: 'sign_in_needed', message: 'Sign in first.' }
    }
    device.next_no += 1
    device.texts.set(device_no, text)
    if (this.holds && text.includes(this.holds)) {
      device.held += 1
      return { ...answer, result: 'held', code: 'bad_entry', message: 'Kept back.' }
    }
    return { ...answer, result: 'stored', seq: this.append(text).seq }
  }

  private again(answer: Omit<Answer, 'result'>, same: boolean): Answer {
    if (same) return { ...answer, result: 'already' }
    return {
      ...answer,
      result: 'conflict',
      code: 'same_number',
      message: 'Another entry has this number.',
    }
  }

  append(text: string): PulledEntry {
    const prev = this.book.at(-1)?.hash ?? ZERO
    const hash = createHash('sha256').update(Buffer.from(prev, 'hex')).update(text).digest('hex')
    const entry = {
      seq: this.book.length + 1,
      received_at: '2026-11-01T00:00:00Z',
      prev,
      hash,
      text,
    }
    this.book.push(entry)
    return entry
  }

  private mine(id: string) {
    const device = this.devices.get(id)
    if (!device) return null as never
    const last = this.book.findLast((entry) => entry.text.includes(id))
    const dealt = (this.dealt.get(id) ?? []).map((device_no) => ({
      device_no,
      person: 'p1',
      reason: 'looked at',
      at: '2026-11-01T00:00:00.000Z',
    }))
    return { count: device.texts.size, next_no: device.next_no, head: last?.hash ?? null, dealt }
  }

  private pull(query: URLSearchParams, headers: Headers): Response {
    this.pulls.push(String(query))
    const epoch = query.get('epoch')
    const asked = Number(query.get('after'))
    const reset = (epoch !== null && epoch !== this.epoch) || asked > this.book.length
    const after = reset ? 0 : asked
    const etag = `"${this.epoch}-${this.book.length}-${after}"`
    if (headers.get('if-none-match') === etag) return new Response(null, { status: 304 })
    const limit = Number(query.get('limit'))
    const entries = this.book.slice(after, after + limit)
    const body: Pulled = {
      epoch: this.epoch,
      reset,
      entries,
      last_seq: this.book.length,
      more: after + entries.length < this.book.length,
      server_now: '2026-11-01T00:00:00.000Z',
      pins: this.lists.pins,
      mine: this.mine(query.get('device') ?? ''),
    }
    const columns = query.get('form') === 'columns' && !this.older ? columnsOf(entries) : null
    return json(columns ? { ...body, entries: [], columns } : body, 200, { etag })
  }

  /** The server after its book was restored from a copy with `count` entries. */
  restore(count: number): void {
    this.epoch = `${this.epoch}'`
    this.book = this.book.slice(0, count)
    for (const [id, device] of this.devices) {
      const kept = [...device.texts].filter(([, text]) =>
        this.book.some((entry) => entry.text === text),
      )
      device.texts = new Map(kept)
      device.next_no = kept.length + 1
      this.devices.set(id, device)
    }
  }
}

function wrongOffset(offset: number): Response {
  const error = { code: 'wrong_offset', message: 'Go on from there.', details: { offset } }
  return json({ error }, 409)
}

function textOf(init: RequestInit): string {
  const packed = new Headers(init.headers).get('content-encoding') === 'gzip'
  return packed ? gunzipSync(Buffer.from(init.body as ArrayBuffer)).toString() : String(init.body)
}
