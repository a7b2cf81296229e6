/**
 * One request to the shop's server: JSON or a named failure.
 *
 * An answer counts only when it is the server's JSON. A strange network's sign-in page comes with status 200
 * and HTML; taken for an answer it would lose entries.
 */
import { NoContact, ServerFailure } from './failure.ts'
import type { ErrorBody } from './wire.ts'

const ROOT = '/api/v1'
const TIMEOUT_MS = 30_000
/** Below this, packing costs more than it saves. */
const WORTH_PACKING = 1024

/** Statuses that come without a body. */
const BODILESS = new Set([204, 304])

export type Fetch = (url: string, init: RequestInit) => Promise<Response>

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
  etag?: string | null
}

export interface Answered<T> {
  /** Null with status 304: nothing is new. */
  body: T | null
  etag: string | null
}

function packed(text: string): Promise<ArrayBuffer> {
  const stream = new Blob([text]).stream().pipeThrough(new CompressionStream('gzip'))
  return new Response(stream).arrayBuffer()
}

async function bodyOf(asked: Asked, headers: Record<string, string>): Promise<BodyInit | null> {
  if (asked.bytes) {
    Object.assign(headers, asked.bytes.headers)
    return asked.bytes.data
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

async function requestInit(asked: Asked, signal: AbortSignal): Promise<RequestInit> {
  const headers: Record<string, string> = { accept: 'application/json' }
  const method = asked.method ?? 'GET'
  if (method !== 'GET') headers['x-standbook'] = '1'
  if (asked.etag) headers['if-none-match'] = asked.etag
  const body = await bodyOf(asked, headers)
  return { method, headers, body, signal, cache: 'no-store', credentials: 'same-origin' }
}

async function answered(path: string, asked: Asked): Promise<Response> {
  const stop = new AbortController()
  const timer = setTimeout(() => stop.abort(), TIMEOUT_MS)
  try {
    const response = await send(ROOT + path, await requestInit(asked, stop.signal))
    // The body is part of the answer: a reply that is cut in the middle is no answer.
    const bytes = BODILESS.has(response.status) ? null : await response.arrayBuffer()
    return new Response(bytes, { status: response.status, headers: response.headers })
  } catch (error) {
    throw new NoContact('no_contact', error)
  } finally {
    clearTimeout(timer)
  }
}

function isError(body: unknown): body is ErrorBody {
  const error = (body as Partial<ErrorBody> | null)?.error
  return typeof error?.code === 'string' && typeof error.message === 'string'
}

async function jsonOf(response: Response): Promise<unknown> {
  const type = response.headers.get('content-type') ?? ''
  if (!/^application\/([\w.-]+\+)?json\b/.test(type)) throw strange(response)
  try {
    return await response.json()
  } catch (error) {
    throw new NoContact('not_the_shop', error)
  }
}

/** A proxy in front of a server that is down answers 502 and the like with a page of its own. */
function strange(response: Response): NoContact {
  return new NoContact(response.status >= 500 ? 'no_contact' : 'not_the_shop')
}

function failureOf(status: number, body: unknown): Error {
  if (!isError(body)) return new NoContact('not_the_shop')
  const { code, message, details } = body.error
  return new ServerFailure(status, code, message, details)
}

/** Asks the server. Throws NoContact or ServerFailure. */
export async function request<T>(path: string, asked: Asked = {}): Promise<Answered<T>> {
  const response = await answered(path, asked)
  const etag = response.headers.get('etag')
  if (BODILESS.has(response.status)) return { body: null, etag: etag ?? asked.etag ?? null }
  const body = await jsonOf(response)
  if (response.ok) return { body: body as T, etag }
  if (response.status === 415 && packing && asked.method !== 'GET') return unpacked(path, asked)
  throw failureOf(response.status, body)
}

/** A server that does not take packed bodies gets plain ones from now on. */
function unpacked<T>(path: string, asked: Asked): Promise<Answered<T>> {
  packing = false
  return request(path, asked)
}

/** Text of a blob as the server has it; null when it does not have it. */
export async function textAt(path: string): Promise<string | null> {
  const response = await answered(path, {})
  if (response.status === 404) return null
  if (!response.ok) throw failureOf(response.status, await jsonOf(response))
  return response.text()
}

/** Headers of an answer that has no body; null with 404. Throws NoContact or ServerFailure. */
export async function headersAt(path: string, asked: Asked): Promise<Headers | null> {
  const response = await answered(path, asked)
  if (response.ok) return response.headers
  if (response.status === 404) return null
  if (asked.method === 'HEAD') throw strange(response)
  throw failureOf(response.status, await jsonOf(response))
}

/** A file of the shop; null when it does not have it. */
export async function bytesAt(path: string, type: string): Promise<Blob | null> {
  const response = await answered(path, {})
  if (response.status === 404) return null
  if (!response.ok) throw failureOf(response.status, await jsonOf(response))
  if (response.headers.get('content-type') !== type) throw new NoContact('not_the_shop')
  return response.blob()
}
