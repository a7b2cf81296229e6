import { gunzipSync } from 'node:zlib'
import { beforeEach, expect, it } from 'vitest'
import { NoContact } from './failure.ts'
import { request, textAt, useFetch } from './http.ts'

let seen: { url: string; init: RequestInit }[] = []

function answering(...answers: Response[]): void {
  seen = []
  useFetch(async (url, init) => {
    seen.push({ url, init })
    return answers.shift() ?? Response.json({})
  })
}

function header(name: string, at = 0): string | null {
  return new Headers(seen[at]?.init.headers).get(name)
}

beforeEach(() => answering())

it('marks every change as coming from the app itself', async () => {
  for (const method of ['POST', 'PUT', 'DELETE'] as const) await request('/x', { method })
  await request('/x')
  expect([0, 1, 2, 3].map((at) => header('x-standbook', at))).toEqual(['1', '1', '1', null])
})

it('packs a body that is worth it', async () => {
  const body = { text: 'reading '.repeat(1000) }
  await request('/x', { method: 'POST', body })
  expect(header('content-encoding')).toBe('gzip')
  const packed = Buffer.from(seen[0]?.init.body as ArrayBuffer)
  expect(packed.length).toBeLessThan(500)
  expect(JSON.parse(gunzipSync(packed).toString())).toEqual(body)
})

it('sends plain bodies to a server that does not take packed ones', async () => {
  const refusal = { error: { code: 'unsupported_media', message: 'Plain.', details: {} } }
  answering(
    Response.json(refusal, { status: 415 }),
    Response.json({ ok: 1 }),
    Response.json({ ok: 2 }),
  )
  const body = { text: 'reading '.repeat(1000) }
  expect((await request('/x', { method: 'POST', body })).body).toEqual({ ok: 1 })
  await request('/x', { method: 'POST', body })
  expect([1, 2].map((at) => header('content-encoding', at))).toEqual([null, null])
})

it('never asks the browser’s cache', async () => {
  await request('/x', { etag: '"1"' })
  expect(seen[0]?.init.cache).toBe('no-store')
  expect(header('if-none-match')).toBe('"1"')
})

it('gives nothing and the tag back when nothing is new', async () => {
  answering(new Response(null, { status: 304 }))
  expect(await request('/x', { etag: '"1"' })).toEqual({ body: null, etag: '"1"' })
})

it('a reply that breaks off in the middle is no answer', async () => {
  const body = new ReadableStream({
    start(controller) {
      controller.enqueue(new TextEncoder().encode('{"answers": ['))
      controller.error(new TypeError('network error'))
    },
  })
  answering(new Response(body, { headers: { 'content-type': 'application/json' } }))
  await expect(request('/x')).rejects.toThrow(NoContact)
})

it('carries the server’s own words', async () => {
  const error = {
    code: 'sign_in_failed',
    message: 'Name and password do not fit together.',
    details: { left: 3 },
  }
  answering(Response.json({ error }, { status: 401 }))
  await expect(request('/session', { method: 'POST', body: {} })).rejects.toMatchObject({
    name: 'ServerFailure',
    status: 401,
    ...error,
  })
})

it('takes a missing blob for what it is', async () => {
  const error = { code: 'unknown_blob', message: 'Not here.', details: {} }
  answering(Response.json({ error }, { status: 404 }), new Response('table', { status: 200 }))
  expect(await textAt('/blobs/1')).toBeNull()
  expect(await textAt('/blobs/1')).toBe('table')
})
