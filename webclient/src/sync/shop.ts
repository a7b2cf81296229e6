/** The shop's people and instruments: fetched when there is contact, kept on the device for when there is none. */
import { signal } from '@preact/signals'
import { recall, remember } from '../store/index.ts'
import { NoContact } from './failure.ts'
import { request } from './http.ts'
import type { Person } from './wire.ts'

/** Instruments travel as the brain takes them; their shape is the brain's, not ours to know here. */
export interface Shop {
  shop: { id: string; name: string }
  people: Person[]
  instruments: unknown[]
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
function isShop(body: Partial<Shop>): body is Shop {
  return Array.isArray(body.people) && Array.isArray(body.instruments) && !!body.shop
}

/** Fetches the list when it has changed. Throws NoContact or ServerFailure. */
export async function fetchShop(): Promise<void> {
  const answer = await request<Shop>('/shop', { etag })
  if (!answer.body) return
  if (!isShop(answer.body)) throw new NoContact('not_the_shop')
  await remember(FACT, { shop: answer.body, etag: answer.etag } satisfies Kept)
  shop.value = answer.body
  etag = answer.etag
}
