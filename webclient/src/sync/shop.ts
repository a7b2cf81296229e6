/** The shop's people and instruments: fetched when there is contact, kept on the device for when there is none. */
import { signal } from '@preact/signals'
import { recall, remember } from '../store/index.ts'
import { NoContact } from './failure.ts'
import { request } from './http.ts'
import type { Seal, ShopPerson } from './wire.ts'
import { type KeptPerson, wrapped } from './wrapped.ts'

/** Instruments travel as the brain takes them; their shape is the brain's, not ours to know here. */
interface Sent {
  shop: { id: string; name: string }
  people: ShopPerson[]
  instruments: unknown[]
  /** Null while nobody has a PIN. */
  seal?: Seal | null
  /** The mark of these PINs, as a pull gives it too. */
  pins?: string
}

export interface Shop extends Omit<Sent, 'people'> {
  people: KeptPerson[]
}

const FACT = 'shop'

interface Kept {
  shop: Shop
  etag: string | null
}

/** Null until the first contact of this device's life, or while the store is being read. */
export const shop = signal<Shop | null>(null)
let etag: string | null = null

/** Shows the kept list. */
export async function recallShop(): Promise<void> {
  const kept = await recall<Kept>(FACT)
  if (!kept || shop.value) return
  shop.value = kept.shop
  etag = kept.etag
}

/** A stranger's JSON would take the people off every screen, and stay on the device. */
function isShop(body: Partial<Sent>): body is Sent {
  return Array.isArray(body.people) && Array.isArray(body.instruments) && !!body.shop
}

/** Fetches the list when it has changed. Throws NoContact or ServerFailure. */
export async function fetchShop(): Promise<void> {
  const answer = await request<Sent>('/shop', { etag })
  if (!answer.body) return
  if (!isShop(answer.body)) throw new NoContact('not_the_shop')
  const fresh: Shop = { ...answer.body, people: await Promise.all(answer.body.people.map(wrapped)) }
  await remember(FACT, { shop: fresh, etag: answer.etag } satisfies Kept)
  shop.value = fresh
  etag = answer.etag
}

/** Fetches the list where this mark says that there are other PINs than it has. */
export async function fetchPins(mark: string | undefined): Promise<void> {
  if ((mark ?? '') !== (shop.value?.pins ?? '')) await fetchShop()
}
