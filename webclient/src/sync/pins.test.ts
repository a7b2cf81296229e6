import { openDB } from 'idb'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { freshBrowser, openSyncTab, reading } from '../testing/device.ts'
import { person, pinOf, TestSeal } from '../testing/pins.ts'
import { FakeShop } from '../testing/shop.ts'
import type { GivenPin } from './pins.ts'

type Tab = Awaited<ReturnType<typeof openTab>>

const seal = new TestSeal()
const [BO, LEA, MAX] = ['bo', 'lea', 'max']
const PINS = { bo: '402718', lea: '730264' }
let shop: FakeShop
let tab: Tab

async function openTab() {
  const opened = await openSyncTab()
  opened.sync.useFetch(shop.fetch)
  return opened
}

/** The page is loaded again: nothing but the disk is left. */
async function reloaded(): Promise<Tab> {
  const opened = await openTab()
  await opened.sync.recallShop()
  return opened
}

function listed(pins: { bo: string; lea: string }, number = 1): void {
  shop.lists = {
    people: [
      person('bo', 'builder', pinOf(pins.bo, number)),
      person('lea', 'lead', pinOf(pins.lea, number)),
      person('max', 'builder', null),
    ],
    seal: seal.public,
    pins: `mark ${number}`,
  }
}

async function given(who: 'bo' | 'lea', pin = PINS[who], at: Tab = tab): Promise<GivenPin> {
  const answer = await at.sync.checkPin(who, pin)
  if (!('given' in answer)) throw new Error(`it does not fit: ${answer.left} left`)
  return answer.given
}

async function misses(count: number, who: string = BO): Promise<unknown[]> {
  const answers: unknown[] = []
  for (let n = 0; n < count; n++) answers.push(await tab.sync.checkPin(who, `99999${n}`))
  return answers
}

const signature = (who = BO) => ({ ...reading(), kind: 'step_signed', person: who })

/** A shop that asks for proofs as the server does. */
function strict(): void {
  shop.rule = (entry, push) => {
    const { id, kind, person: who, device_no } = entry as Record<string, string | number>
    if (kind !== 'step_signed') return null
    const proof = push.proofs?.find((one) => one.device_no === device_no)
    const opened = proof && (seal.open(proof.sealed) as Record<string, unknown>)
    const fits = opened?.entry === id && opened?.pin === PINS[who as 'bo' | 'lea']
    return fits ? null : { code: 'pin_needed', message: `${who} has to give the PIN.` }
  }
}

beforeEach(async () => {
  vi.unstubAllGlobals()
  freshBrowser()
  shop = new FakeShop()
  listed(PINS)
  tab = await openTab()
  await tab.sync.fetchShop()
})

describe('the PINs that a phone keeps', () => {
  async function onDisk(): Promise<string> {
    const db = await openDB('standbook')
    const rows = await db.getAll('facts')
    db.close()
    return rows.map((row) => JSON.stringify(row, bytesAsText)).join('\n')
  }

  function bytesAsText(_key: string, value: unknown): unknown {
    const bytes = value instanceof ArrayBuffer ? new Uint8Array(value) : value
    return bytes instanceof Uint8Array ? Buffer.from(bytes).toString('latin1') : value
  }

  it('are wrapped on the disk and in memory: neither salt nor hash lies open', async () => {
    const disk = `${await onDisk()} ${JSON.stringify(tab.sync.shop.value, bytesAsText)}`
    expect(disk).toContain('"bo"')
    for (const { pin } of shop.lists.people) {
      if (!pin) continue
      expect(disk).not.toContain(pin.salt)
      expect(disk).not.toContain(pin.hash)
    }
  })

  it('are wrapped with a key that nobody can read out, one for all tabs', async () => {
    const [key, again] = await Promise.all([tab.store.pinKey(), (await openTab()).store.pinKey()])
    expect(key.extractable).toBe(false)
    await expect(crypto.subtle.exportKey('raw', key)).rejects.toThrow()
    const iv = new Uint8Array(12)
    const secret = await crypto.subtle.encrypt({ name: 'AES-GCM', iv }, key, new Uint8Array([7]))
    const open = await crypto.subtle.decrypt({ name: 'AES-GCM', iv }, again, secret)
    expect([...new Uint8Array(open)]).toEqual([7])
  })

  it('count for their person alone: moved to another one on the disk, they open nothing', async () => {
    const now = tab.sync.shop.value
    const [bo, lea] = now?.people ?? []
    if (!now || !bo || !lea) throw new Error('nobody there')
    const pin = lea.pin ?? null
    tab.sync.shop.value = { ...now, people: [{ ...bo, pin }, lea] }
    await expect(tab.sync.checkPin(BO, PINS.lea)).rejects.toThrow()
  })

  it('are checked without network, also after the page was loaded again', async () => {
    shop.trouble = () => 'cut request'
    tab = await reloaded()
    expect(await given('bo')).toEqual({ person: 'bo', pin: '402718', number: 1 })
    expect(await tab.sync.checkPin(BO, PINS.lea)).toEqual({ left: 4 })
    expect(tab.sync.hasPin(BO)).toBe(true)
    expect(tab.sync.hasPin(MAX)).toBe(false)
    expect(await tab.sync.pinLeft(MAX)).toBeNull()
  })

  it('are the new ones before the phone says that it has seen what came after the change', async () => {
    await tab.talk()
    listed({ ...PINS, bo: '615903' }, 2)
    shop.append(JSON.stringify({ id: 'x', build: 'b', kind: 'reading', device: 'd', device_no: 1 }))
    await tab.talk()
    expect(await given('bo', '615903')).toMatchObject({ number: 2 })
  })

  it('keep the cursor where it is while the new ones cannot be had', async () => {
    await tab.talk()
    listed(PINS, 2)
    shop.append(JSON.stringify({ id: 'x', build: 'b', kind: 'reading', device: 'd', device_no: 1 }))
    shop.trouble = (path) => (path === '/shop' ? 'cut reply' : null)
    await tab.talk()
    expect((await tab.store.cursor()).after).toBe(0)
  })
})

describe('five misses', () => {
  it('lock the person on this phone, over a reload too, and even the right PIN opens nothing', async () => {
    expect(await misses(5)).toEqual([4, 3, 2, 1, 0].map((left) => ({ left })))
    expect(await tab.sync.checkPin(BO, PINS.bo)).toEqual({ left: 0 })
    tab = await reloaded()
    expect(await tab.sync.pinLeft(BO)).toBe(0)
    expect(await tab.sync.checkPin(BO, PINS.bo)).toEqual({ left: 0 })
    expect(await tab.sync.pinLeft(LEA)).toBe(5)
  })

  it('have to come in a row', async () => {
    await misses(4)
    await given('bo')
    expect((await misses(1))[0]).toEqual({ left: 4 })
  })

  it('are counted before the PIN is looked at: a page that dies gives no try away', async () => {
    vi.spyOn(crypto.subtle, 'deriveBits').mockRejectedValue(new Error('the page is gone'))
    for (let n = 0; n < 5; n++) await expect(tab.sync.checkPin(BO, PINS.bo)).rejects.toThrow()
    vi.restoreAllMocks()
    expect(await tab.sync.pinLeft(BO)).toBe(0)
  })

  it('are undone by a lead with the own PIN on this phone, and by nobody else', async () => {
    await misses(5)
    expect(tab.sync.unlockers(BO).map(({ id }) => id)).toEqual([LEA])
    await expect(tab.sync.unlock(BO, { person: BO, pin: '', number: 1 })).rejects.toThrow()
    await tab.sync.unlock(BO, await given('lea'))
    expect(await given('bo')).toMatchObject({ person: BO })
  })

  it('leave a lead to another lead', async () => {
    await misses(5, LEA)
    expect(tab.sync.unlockers(LEA)).toEqual([])
  })

  it('are forgotten when the shop gives another PIN', async () => {
    await misses(5)
    listed({ ...PINS, bo: '615903' }, 2)
    await tab.sync.fetchShop()
    expect(await given('bo', '615903')).toMatchObject({ number: 2 })
  })
})

describe('the proof under an entry', () => {
  const proving = async (who: 'bo' | 'lea') => {
    const pin = await given(who)
    return { ...signature(who), prove: (id: string) => tab.sync.sealProof(pin, id) }
  }

  it('is sealed to the shop, names the entry by its id, and goes along in the envelope', async () => {
    strict()
    await tab.store.record(reading())
    const signed = await tab.store.record(await proving('bo'))
    expect(await tab.talk()).toEqual({ ok: true })
    const [proof] = shop.pushes.flatMap((push) => push.proofs ?? [])
    expect(proof).toMatchObject({ device_no: 2, person: 'bo' })
    expect(seal.open(proof?.sealed ?? '')).toEqual({ pin: '402718', number: 1, entry: signed.id })
    expect(shop.book.map(({ text }) => text).join()).not.toContain('402718')
  })

  it('is on the disk when the entry is: made offline, it is sent after a reload', async () => {
    strict()
    await tab.store.record(await proving('lea'))
    tab = await reloaded()
    expect(await tab.talk()).toEqual({ ok: true })
    expect(shop.book).toHaveLength(1)
  })

  it('that cannot be made leaves no entry behind and uses up no number', async () => {
    const prove = () => Promise.reject(new Error('no key'))
    await expect(tab.store.record({ ...signature(), prove })).rejects.toThrow()
    expect((await tab.store.record(reading())).device_no).toBe(1)
  })

  it('is not there for what needs none: the envelope is as it always was', async () => {
    await tab.store.record(reading())
    await tab.talk()
    expect(shop.pushes[0]).not.toHaveProperty('proofs')
  })

  it('is wanted by name when the shop misses it, and can be given then for all that waits', async () => {
    strict()
    const first = await tab.store.record(signature())
    await tab.store.record(reading())
    await tab.store.record(signature())
    await tab.talk()
    const [wanted] = tab.sync.pinsWanted.value
    if (!wanted) throw new Error('nothing is wanted')
    expect(wanted).toMatchObject({ device: null, device_no: 1, person: 'bo', can: true })
    expect(wanted.text).toBe(first.text)
    expect(tab.sync.strip.value.pinOf).toEqual(['BO'])
    await tab.sync.proveWanted(wanted, await given('bo'))
    expect(await tab.talk()).toEqual({ ok: true })
    expect(tab.sync.pinsWanted.value).toEqual([])
    expect(shop.book).toHaveLength(3)
  })

  it('of somebody without a PIN has to wait for a lead', async () => {
    shop.rule = () => ({ code: 'pin_missing', message: 'MAX has no PIN yet.' })
    await tab.store.record(signature(MAX))
    await tab.talk()
    expect(tab.sync.pinsWanted.value).toMatchObject([{ person: MAX, can: false }])
  })

  it('is sealed to the key of today: the shop may have another one since', async () => {
    strict()
    await tab.store.record(signature())
    const other = new TestSeal()
    shop.lists = { ...shop.lists, seal: other.public }
    await tab.talk()
    const { sealed } = await tab.sync.sealProof(await given('bo'), 'an id')
    expect(other.open(sealed)).toMatchObject({ entry: 'an id' })
  })
})
