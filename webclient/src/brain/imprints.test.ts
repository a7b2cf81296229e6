import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import { dropImprint, keepImprint, lastImprint, nameOf } from './imprints.ts'

const BYTES = new Uint8Array([1, 2, 3, 0, 5])
const MADE_OF = nameOf({ script: '/assets/a.js', wasm: '/assets/a.wasm', pack: '/assets/a.pack' })

/** The browser's cache of files, as far as it is asked. */
class Caches {
  readonly kept = new Map<string, Map<string, Response>>()

  async open(name: string) {
    const files = this.kept.get(name) ?? new Map<string, Response>()
    this.kept.set(name, files)
    return {
      put: async (address: string, response: Response) => void files.set(address, response),
      match: async (address: string) => files.get(address)?.clone(),
    }
  }

  async delete(name: string) {
    return this.kept.delete(name)
  }
}

beforeEach(() => vi.stubGlobal('caches', new Caches()))
afterEach(() => vi.unstubAllGlobals())

it('gives back what was kept, with what it was made of', async () => {
  await keepImprint({ bytes: BYTES, madeOf: MADE_OF })
  expect(await lastImprint()).toEqual({ bytes: BYTES, madeOf: MADE_OF })
})

it('has one at a time', async () => {
  await keepImprint({ bytes: BYTES, madeOf: 'an older version' })
  await keepImprint({ bytes: BYTES, madeOf: MADE_OF })
  expect((await lastImprint())?.madeOf).toBe(MADE_OF)
})

it('has none before, and none when it was thrown away', async () => {
  expect(await lastImprint()).toBeNull()
  await keepImprint({ bytes: BYTES, madeOf: MADE_OF })
  await dropImprint()
  expect(await lastImprint()).toBeNull()
})

it('takes what came back short for nothing', async () => {
  const cache = await caches.open('standbook-imprint')
  const headers = { 'made-of': MADE_OF, 'made-long': '6' }
  await cache.put('/imprint', new Response(BYTES, { headers }))
  expect(await lastImprint()).toBeNull()
})

it('is no matter where the browser has no cache or refuses it', async () => {
  vi.stubGlobal('caches', undefined)
  expect(await lastImprint()).toBeNull()
  await dropImprint()
})
