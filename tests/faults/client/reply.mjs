import { File } from './pictures.mjs'

/** The browser's `Response` as far as the client reads it, without streams and their hidden turns. */
export class Reply {
  #bytes
  #cut

  /** `cut`: the connection breaks while the body is read. */
  constructor(body, { status = 200, headers = {}, cut = false } = {}) {
    this.#bytes = body instanceof File ? body.bytes : Buffer.from(body ?? '')
    this.#cut = cut
    this.status = status
    this.ok = status >= 200 && status < 300
    this.headers = new Headers(headers)
  }

  async arrayBuffer() {
    if (this.#cut) throw new TypeError('network error')
    const { buffer, byteOffset, byteLength } = this.#bytes
    return buffer.slice(byteOffset, byteOffset + byteLength)
  }

  async text() {
    return Buffer.from(await this.arrayBuffer()).toString()
  }

  async json() {
    return JSON.parse(await this.text())
  }

  async blob() {
    return new File([await this.arrayBuffer()], { type: this.headers.get('content-type') ?? '' })
  }
}
