import { createHash } from 'node:crypto'
import { beforeEach, describe, expect, it } from 'vitest'
import { reading } from '../testing/device.ts'
import type { FakeShop } from '../testing/shop.ts'
import { firstTab, type Tab } from '../testing/tab.ts'
import { hexOf, padded, sha256In } from './sha256.ts'

function sha256(text: string): string {
  const bytes = Buffer.from(text)
  const room = new Uint8Array(padded(bytes.length)).fill(0xff)
  room.set(bytes)
  return hexOf(sha256In(room, bytes.length))
}

describe('SHA-256', () => {
  // NIST, "Examples with Intermediate Values", SHA-256: one block, two blocks. FIPS 180-2, B.3: a million letters.
  it.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
    ['a'.repeat(1e6), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
  ])('gives what the standard prints', (text, hash) => {
    expect(sha256(text)).toBe(hash)
  })

  it('gives what OpenSSL gives, however long the message is', () => {
    for (let length = 0; length <= 260; length++) {
      const text = 'µ7x'.repeat(length).slice(0, length)
      expect(sha256(text)).toBe(createHash('sha256').update(text).digest('hex'))
    }
  })
})

describe('a page of the book that comes as columns', () => {
  let shop: FakeShop
  let tab: Tab

  beforeEach(async () => {
    ;({ shop, tab } = await firstTab())
  })

  /** Entries of another device, of several forms. */
  function fill(count: number): void {
    for (let n = 1; n <= count; n++) {
      const more = n % 3 ? {} : { note: 'µ — "gut" 🔧'.repeat(n) }
      shop.append(
        JSON.stringify({
          ...reading(`2.${n}`),
          id: `e${n}`,
          device: 'other',
          device_no: n,
          ...more,
        }),
      )
    }
  }

  async function kept(): Promise<unknown[]> {
    const { read } = await import('../store/connection.ts')
    const chunks = await read(['chunks'], (tx) => tx.objectStore('chunks').getAll())
    return chunks.flatMap(({ entries }) =>
      entries.map(({ seq, received_at, prev, hash, text }) => ({
        seq,
        received_at,
        prev,
        hash,
        text,
      })),
    )
  }

  it('LG7, LG12: is on the disk as the shop has it, byte for byte, with every hash', async () => {
    fill(450)
    expect(await tab.talk()).toEqual({ ok: true })
    expect(await kept()).toEqual(shop.book)
    expect(new URLSearchParams(shop.pulls[0]).get('form')).toBe('columns')
  })

  it('LG12: of a shop that does not know that form comes as whole entries', async () => {
    shop.older = true
    fill(30)
    expect(await tab.talk()).toEqual({ ok: true })
    expect(await kept()).toEqual(shop.book)
  })

  it('LG7: is asked for as it stands where its hashes do not follow, and then taken as ever', async () => {
    fill(3)
    const second = shop.book[1]
    if (second) second.text = second.text.replace('2.2', '2.9')
    await tab.talk()
    const forms = shop.pulls.map((query) => new URLSearchParams(query).get('form'))
    expect(forms.slice(0, 2)).toEqual(['columns', 'entries'])
    expect(await kept()).toEqual(shop.book)
  })
})
