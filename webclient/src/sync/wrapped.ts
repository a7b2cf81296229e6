/**
 * What a phone keeps of a PIN: salt and slow hash, wrapped with the browser's own key as soon as they come. On the disk
 * and in the screens' signals there is nothing that could be guessed at.
 */
import { pinKey } from '../store/index.ts'
import type { Pin, ShopPerson } from './wire.ts'

export interface WrappedPin {
  number: number
  iv: Uint8Array<ArrayBuffer>
  data: ArrayBuffer
}

/** A person of the shop as this device keeps him. */
export interface KeptPerson {
  id: string
  name: string
  role: string
  /** Null: has none. Lists of the first versions do not say. */
  version?: string
  pin?: WrappedPin | null
}

const IV_BYTES = 12

/** A wrapped PIN counts for its person and number alone. */
function ways(person: string, number: number, iv: Uint8Array<ArrayBuffer>): AesGcmParams {
  return { name: 'AES-GCM', iv, additionalData: new TextEncoder().encode(`${person}/${number}`) }
}

async function wrap(person: string, pin: Pin): Promise<WrappedPin> {
  const iv = crypto.getRandomValues(new Uint8Array(IV_BYTES))
  const text = new TextEncoder().encode(JSON.stringify(pin))
  const data = await crypto.subtle.encrypt(ways(person, pin.number, iv), await pinKey(), text)
  return { number: pin.number, iv, data }
}

export async function wrapped({ id, name, role, version, pin }: ShopPerson): Promise<KeptPerson> {
  const kept = { id, name, role, pin: pin ? await wrap(id, pin) : null }
  return version === undefined ? kept : { ...kept, version }
}

export async function unwrapped(person: string, { number, iv, data }: WrappedPin): Promise<Pin> {
  const text = await crypto.subtle.decrypt(ways(person, number, iv), await pinKey(), data)
  return JSON.parse(new TextDecoder().decode(text)) as Pin
}
