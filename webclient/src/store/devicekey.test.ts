import { webcrypto } from 'node:crypto'
import { openDB } from 'idb'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { clearBook, freshBrowser, openTab, type Store } from '../testing/device.ts'
import { fits } from '../testing/door.ts'

beforeEach(() => {
  vi.unstubAllGlobals()
  freshBrowser()
})

async function keyOf(tab: Store) {
  return tab.deviceKey((await tab.identity()).device)
}

async function kept(): Promise<Record<string, unknown>> {
  const db = await openDB('standbook')
  const row = await db.get('device', 'key')
  db.close()
  return row
}

/** A browser whose crypto does another thing. */
function withSubtle(other: Record<string, unknown>): void {
  const { subtle } = webcrypto
  const made = Object.assign(Object.create(subtle), {
    generateKey: subtle.generateKey.bind(subtle),
    exportKey: subtle.exportKey.bind(subtle),
    ...other,
  })
  const randomUUID = () => webcrypto.randomUUID()
  vi.stubGlobal('crypto', { subtle: made, randomUUID })
}

describe('the device’s key', () => {
  it('signs what the shop can check by the public half', async () => {
    const key = await keyOf(await openTab())
    const signature = (await key?.sign('a text with a – dash')) ?? ''
    expect(Buffer.from(signature, 'base64')).toHaveLength(64)
    expect(fits(key?.publicKey ?? '', signature, 'a text with a – dash')).toBe(true)
    expect(fits(key?.publicKey ?? '', signature, 'another text')).toBe(false)
  })

  it('is made once, whichever of two tabs is first, and outlives them', async () => {
    const [one, other] = [await openTab(), await openTab()]
    const device = (await one.identity()).device
    const keys = await Promise.all([
      one.deviceKey(device),
      other.deviceKey(device),
      one.deviceKey(device),
      other.deviceKey(device),
    ])
    const later = await (await openTab()).deviceKey(device)
    const known = new Set([...keys, later].map((key) => key?.publicKey))
    expect(known.size).toBe(1)
    expect(known).toContain((await kept()).publicKey)
    for (const key of [...keys, later]) {
      const signature = (await key?.sign('x')) ?? ''
      expect(fits(String((await kept()).publicKey), signature, 'x')).toBe(true)
    }
  })

  it('stays the one that a first tab made, though a slower one has made another meanwhile', async () => {
    const { subtle } = webcrypto
    const sign = subtle.sign.bind(subtle)
    let goOn: ((go: null) => void) | null = null
    const slowly = async (how: EcKeyGenParams) => {
      await new Promise((go) => {
        goOn = go
      })
      return subtle.generateKey(how, false, ['sign', 'verify'])
    }
    const [first, slow] = [await openTab(), await openTab()]
    const device = (await first.identity()).device
    withSubtle({ sign, generateKey: slowly })
    const late = slow.deviceKey(device)
    const go = await vi.waitUntil(() => goOn)
    withSubtle({ sign })
    const key = await first.deviceKey(device)
    go(null)
    expect((await late)?.publicKey).toBe(key?.publicKey)
    expect((await kept()).publicKey).toBe(key?.publicKey)
  })

  it('can be taken out of the browser by nobody', async () => {
    await keyOf(await openTab())
    const { privateKey } = (await kept()) as { privateKey: CryptoKey }
    expect(privateKey.extractable).toBe(false)
    await expect(crypto.subtle.exportKey('jwk', privateKey)).rejects.toThrow()
    await expect(crypto.subtle.exportKey('pkcs8', privateKey)).rejects.toThrow()
  })

  it('is another one for a new identity, and none for one that this browser is no more', async () => {
    const tab = await openTab()
    const before = await tab.identity()
    const old = await tab.deviceKey(before.device)
    await tab.leaveIdentity()
    const fresh = await keyOf(tab)
    expect(fresh?.publicKey).not.toBe(old?.publicKey)
    expect(fresh?.device).toBe((await tab.identity()).device)
    expect(await (await openTab()).deviceKey(before.device)).toBeNull()
    expect(await kept()).toMatchObject({ device: fresh?.device, publicKey: fresh?.publicKey })
  })

  it('is gone with a cleared storage, and a new one made', async () => {
    const old = await keyOf(await openTab())
    clearBook()
    const fresh = await keyOf(await openTab())
    expect(fresh?.publicKey).not.toBe(old?.publicKey)
  })

  it('does not know the time: a phone whose clock stands in 2019 has one too', async () => {
    vi.useFakeTimers({ now: new Date('2019-03-01'), toFake: ['Date'] })
    const key = await keyOf(await openTab())
    expect(fits(key?.publicKey ?? '', (await key?.sign('x')) ?? '', 'x')).toBe(true)
    vi.useRealTimers()
  })

  it.each([
    [
      'can make none',
      { generateKey: () => Promise.reject(new DOMException('no', 'NotSupportedError')) },
    ],
    [
      'cannot keep what it makes',
      {
        generateKey: async () => ({ publicKey: null, privateKey: () => 1 }),
        exportKey: async () => new ArrayBuffer(9),
      },
    ],
    [
      'gives nothing back of what it kept',
      {
        generateKey: async () => ({ publicKey: null, privateKey: undefined }),
        exportKey: async () => new ArrayBuffer(9),
      },
    ],
  ])('is missing where a browser %s, and nothing else is', async (_, subtle) => {
    withSubtle(subtle)
    expect(await keyOf(await openTab())).toBeNull()
  })

  it('is missing on a page without crypto', async () => {
    const randomUUID = () => webcrypto.randomUUID()
    vi.stubGlobal('crypto', { randomUUID })
    expect(await keyOf(await openTab())).toBeNull()
  })
})
