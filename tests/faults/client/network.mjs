/** Requests on their way: the world decides what becomes of each. */
import { Reply } from './reply.mjs'

function bodyOf(body) {
  if (body === null || body === undefined) return { body: '' }
  if (typeof body === 'string') return { body }
  const bytes = ArrayBuffer.isView(body) ? Buffer.from(body.buffer, body.byteOffset, body.byteLength) : Buffer.from(body)
  return { body: bytes.toString('base64'), packed: true }
}

export class Network {
  #open = new Map()
  #last = 0

  constructor(report) {
    this.report = report
  }

  ask(page, url, { method = 'GET', headers = {}, body = null, signal = null }) {
    this.#last += 1
    const id = this.#last
    const told = headers instanceof Headers ? Object.fromEntries(headers) : headers
    return new Promise((resolve, reject) => {
      this.#open.set(id, { page, resolve, reject })
      signal?.addEventListener('abort', () => this.#giveUp(id, reject))
      this.report({ e: 'fetch', id, page: page.name, method, url, headers: told, ...bodyOf(body) })
    })
  }

  #giveUp(id, reject) {
    if (!this.#open.delete(id)) return
    this.report({ e: 'given up', id })
    reject(new DOMException('aborted', 'AbortError'))
  }

  #take(id) {
    const waiting = this.#open.get(id)
    this.#open.delete(id)
    return waiting && !waiting.page.dead ? waiting : null
  }

  answer({ id, status, headers, body, packed, cut }) {
    const bytes = packed ? Buffer.from(body, 'base64') : body
    this.#take(id)?.resolve(new Reply(bytes, { status, headers, cut }))
  }

  fail({ id }) {
    this.#take(id)?.reject(new TypeError('Failed to fetch'))
  }

  /** A page that is gone waits for nothing. */
  forget(page) {
    for (const [id, { page: asker }] of this.#open) if (asker === page) this.#open.delete(id)
  }
}
