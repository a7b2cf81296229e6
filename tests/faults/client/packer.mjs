/** The browser's `CompressionStream` as far as the client uses it: what was written comes out packed when it is closed. */
import { gzipSync } from 'node:zlib'

export class Packer {
  #written = []
  #close = () => {}
  #packed = new Promise((resolve) => {
    this.#close = () => resolve([new Uint8Array(gzipSync(Buffer.concat(this.#written), { level: 1 }))])
  })

  writable = {
    getWriter: () => ({
      write: async (bytes) => void this.#written.push(bytes.slice()),
      close: async () => this.#close(),
    }),
  }

  readable = {
    getReader: () => ({
      read: async () => {
        const value = (await this.#packed).shift()
        return { done: value === undefined, value }
      },
    }),
  }
}
