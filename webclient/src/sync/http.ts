/**
 * One request to the shop's server: JSON or a named failure.
 *
 * An answer counts only when it is the server's JSON. A strange network's sign-in page comes with status 200
 * and HTML; taken for an answer it would lose entries.
 */
import { NoContact, notJoined, ServerFailure } from './failure.ts'
import type { ErrorBody } from './wire.ts'

const ROOT = '/api/v1'
const TIMEOUT_MS = 30_000
/** Below this, packing costs more than it saves. */
const WORTH_PACKING = 1024

/** Statuses that come without a body. */
const BODILESS = new Set([204, 304])

export type Fetch = (url: string, init: RequestInit) => Promise<Response>

/** What the shop says to whom it does not let in as he comes. */
const AT_THE_DOOR = new Set(['not_joined', 'other_device', 'cut_off'])

/** How this device is let in; `trust.ts` knows. */
export interface Door {
  /** How often this page has been let in. */
  times(): number
  /** Has the device let in after a refusal; true when it is worth asking again. `before`: `times` when it was asked. */
  open(refusal: ServerFailure, before: number): Promise<boolean>
}

let door: Door = { times: () => 0, open: async () => false }

export function useDoor(other: Door): void {
  door = other
}

let send: Fetch = (url, init) => fetch(url, init)
let packing = true

/** Replaces the browser's fetch, for tests. */
export function useFetch(other: Fetch): void {
  send = other
  packing = true
}

export interface Asked {
  method?: 'GET' | 'POST' | 'PUT' | 'DELETE' | 'HEAD' | 'PATCH'
  body?: unknown
  /** Raw text instead of JSON. */
  raw?: string
  /** Bytes with headers of their own, sent as they are. */
  bytes?: { data: ArrayBuffer; headers: Record<string, string> }
  /** The body as it goes over the wire, made before it was asked for; see `readied`. */
  ready?: { data: BodyInit | null; headers: Record<string, string> }
  etag?: string | null
  /** The version that is to be changed; the shop refuses where somebody changed it meanwhile. */
  match?: string
}

export interface Answered<T> {
  /** Null with status 304: nothing is new. */
  body: T | null
  etag: string | null
}

type Bytes = Uint8Array<ArrayBuffer>

/** Straight through the packer: by way of a Blob and a Response it takes a slow phone twice as long. */
async function packed(text: string): Promise<Bytes> {
  const packer = new CompressionStream('gzip')
  const writer = packer.writable.getWriter()
  const fed = [writer.write(new TextEncoder().encode(text)), writer.close()]
  const [whole] = await Promise.all([wholeOf(packer.readable.getReader()), ...fed])
  return whole
}

async function wholeOf(reader: ReadableStreamDefaultReader<Bytes>): Promise<Bytes> {
  const pieces: Bytes[] = []
  for (let next = await reader.read(); !next.done; next = await reader.read())
    pieces.push(next.value)
  const whole = new Uint8Array(pieces.reduce((size, piece) => size + piece.length, 0))
  let at = 0
  for (const piece of pieces) {
    whole.set(piece, at)
    at += piece.length
  }
  return whole
}

async function bodyOf(asked: Asked, headers: Record<string, string>): Promise<BodyInit | null> {
  if (asked.bytes) {
    Object.assign(headers, asked.bytes.headers)
    return asked.bytes.data
  }
  if (asked.ready && packing) {
    Object.assign(headers, asked.ready.headers)
    return asked.ready.data
  }
  const text = asked.raw ?? (asked.body === undefined ? null : JSON.stringify(asked.body))
  if (text === null) return null
  headers['content-type'] =
    asked.raw === undefined ? 'application/json' : 'application/octet-stream'
  if (!packing || text.length < WORTH_PACKING || typeof CompressionStream === 'undefined')
    return text
  headers['content-encoding'] = 'gzip'
  return packed(text)
}

/** The same with its body packed: what takes time is done before the moment of asking. */
export async function readied(asked: Asked): Promise<Asked> {
  const headers: Record<string, string> = {}
  const data = await bodyOf(asked, headers)
  return { ...asked, ready: { data, headers } }
}

async function requestInit(asked: Asked, signal: AbortSignal): Promise<RequestInit> {
  const headers: Record<string, string> = { accept: 'application/json' }
  const method = asked.method ?? 'GET'
  if (method !== 'GET') headers['x-standbook'] = '1'
  if (asked.etag) headers['if-none-match'] = asked.etag
  if (asked.match !== undefined) headers['if-match'] = asked.match
  const body = await bodyOf(asked, headers)
  return { method, headers, body, signal, cache: 'no-store', credentials: 'same-origin' }
}

/** An answer with its body. */
interface Whole<B> {
  status: number
  ok: boolean
  headers: Headers
  body: B
}

/** The body is part of the answer: a reply that is cut in the middle is no answer. */
async function answered<B>(
  path: string,
  asked: Asked,
  bodyIn: (response: Response) => Promise<B>,
): Promise<Whole<B>> {
  const stop = new AbortController()
  const timer = setTimeout(() => stop.abort(), TIMEOUT_MS)
  try {
    const response = await send(ROOT + path, await requestInit(asked, stop.signal))
    const { status, ok, headers } = response
    return { status, ok, headers, body: await bodyIn(response) }
  } catch (error) {
    throw new NoContact('no_contact', error)
  } finally {
    clearTimeout(timer)
  }
}

/** Decoded in one go: piece by piece, as it comes in, takes a slow phone twice as long. */
async function asText(response: Response): Promise<string> {
  return new TextDecoder().decode(await response.arrayBuffer())
}

function isError(body: unknown): body is ErrorBody {
  const error = (body as Partial<ErrorBody> | null)?.error
  return typeof error?.code === 'string' && typeof error.message === 'string'
}

function jsonOf(answer: Whole<string>): unknown {
  const type = answer.headers.get('content-type') ?? ''
  if (!/^application\/([\w.-]+\+)?json\b/.test(type)) throw strange(answer)
  try {
    return JSON.parse(answer.body)
  } catch (error) {
    throw new NoContact('not_the_shop', error)
  }
}

/** A proxy in front of a server that is down answers 502 and the like with a page of its own. */
function strange({ status }: { status: number }): NoContact {
  return new NoContact(status >= 500 ? 'no_contact' : 'not_the_shop')
}

/** A refusal without a body can only mean that the shop does not know us; whoever else it is, the door finds out. */
function wordless(answer: { status: number }): Error {
  return answer.status === 401 ? notJoined() : strange(answer)
}

function failureOf(status: number, body: unknown): Error {
  if (!isError(body)) return new NoContact('not_the_shop')
  const { code, message, details } = body.error
  return new ServerFailure(status, code, message, details)
}

/** Asks again, once, when the shop did not let this device in and then did. */
async function letIn<T>(work: () => Promise<T>): Promise<T> {
  const before = door.times()
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof ServerFailure && AT_THE_DOOR.has(error.code))) throw error
    if (!(await door.open(error, before))) throw error
    return work()
  }
}

/** Asks the server. Throws NoContact or ServerFailure. */
export function request<T>(path: string, asked: Asked = {}): Promise<Answered<T>> {
  return letIn(() => ask<T>(path, asked))
}

/** The same as whoever this device is to the shop just now. */
export async function ask<T>(path: string, asked: Asked = {}): Promise<Answered<T>> {
  const answer = await answered(path, asked, asText)
  const etag = answer.headers.get('etag')
  if (BODILESS.has(answer.status)) return { body: null, etag: etag ?? asked.etag ?? null }
  const body = jsonOf(answer)
  if (answer.ok) return { body: body as T, etag }
  if (answer.status === 415 && packing && asked.method !== 'GET') return unpacked(path, asked)
  throw failureOf(answer.status, body)
}

/** A server that does not take packed bodies gets plain ones from now on. */
function unpacked<T>(path: string, asked: Asked): Promise<Answered<T>> {
  packing = false
  return ask(path, asked)
}

/** Text of a blob as the server has it; null when it does not have it. */
export function textAt(path: string): Promise<string | null> {
  return letIn(() => askText(path))
}

async function askText(path: string): Promise<string | null> {
  const answer = await answered(path, {}, asText)
  if (answer.status === 404) return null
  if (!answer.ok) throw failureOf(answer.status, jsonOf(answer))
  return answer.body
}

/** Headers of an answer that has no body; null with 404. Throws NoContact or ServerFailure. */
export function headersAt(path: string, asked: Asked): Promise<Headers | null> {
  return letIn(() => askHeaders(path, asked))
}

async function askHeaders(path: string, asked: Asked): Promise<Headers | null> {
  const answer = await answered(path, asked, asText)
  if (answer.ok) return answer.headers
  if (answer.status === 404) return null
  if (asked.method === 'HEAD') throw wordless(answer)
  throw failureOf(answer.status, jsonOf(answer))
}

/** A file of the shop; null when it does not have it. */
export function bytesAt(path: string, type: string): Promise<Blob | null> {
  return letIn(() => askBytes(path, type))
}

async function askBytes(path: string, type: string): Promise<Blob | null> {
  const answer = await answered(path, {}, (response) => response.blob())
  if (answer.status === 404) return null
  if (!answer.ok) {
    throw failureOf(answer.status, jsonOf({ ...answer, body: await answer.body.text() }))
  }
  if (answer.headers.get('content-type') !== type) throw new NoContact('not_the_shop')
  return answer.body
}
