/**
 * PINs at the stand, without network: whether one fits, the lock after misses, and the proof under an entry.
 *
 * A PIN is in memory from its first digit until its entry is on the disk, and nowhere else.
 */
import { countTry, type EntryProof, forgetTries, triesLeft } from '../store/index.ts'
import { base64Of, bytesOf } from './base64.ts'
import { shop } from './shop.ts'
import type { Pin } from './wire.ts'
import { type KeptPerson, unwrapped } from './wrapped.ts'

/** A PIN that was checked: what seals a proof. */
export interface GivenPin {
  person: string
  pin: string
  number: number
}

/** `left`: tries that are left before the person is locked on this phone; 0: locked. */
export type PinAnswer = { given: GivenPin } | { left: number }

const LEADS = ['lead', 'owner']

function personOf(id: string): KeptPerson | undefined {
  return shop.value?.people.find((one) => one.id === id)
}

/** Whether this person types a PIN; without one a name is enough, as long as the shop takes that. */
export function hasPin(person: string): boolean {
  return !!personOf(person)?.pin
}

/** People with a PIN who lead: each may unlock another one. */
export function unlockers(person: string): KeptPerson[] {
  const people = shop.value?.people ?? []
  return people.filter(({ id, role, pin }) => id !== person && LEADS.includes(role) && pin)
}

/** Tries left on this phone; null: the person has no PIN. */
export async function pinLeft(person: string): Promise<number | null> {
  const pin = personOf(person)?.pin
  return pin ? triesLeft(person, pin.number) : null
}

async function slow(pin: string, { salt, iterations }: Pin): Promise<string> {
  const typed = new TextEncoder().encode(pin)
  const key = await crypto.subtle.importKey('raw', typed, 'PBKDF2', false, ['deriveBits'])
  const how = { name: 'PBKDF2', hash: 'SHA-256', salt: bytesOf(salt), iterations }
  return base64Of(await crypto.subtle.deriveBits(how, key, 256))
}

/** Checks a PIN. Throws what the store or the browser's cryptography throws; the try is counted then. */
export async function checkPin(person: string, pin: string): Promise<PinAnswer> {
  const kept = personOf(person)?.pin
  if (!kept) return { left: 0 }
  const before = await countTry(person, kept.number)
  if (before === 0) return { left: 0 }
  const stored = await unwrapped(person, kept)
  if ((await slow(pin, stored)) !== stored.hash) return { left: before - 1 }
  await forgetTries(person)
  return { given: { person, pin, number: kept.number } }
}

/** A lead's own PIN, given on this phone, unlocks somebody on it. */
export async function unlock(person: string, lead: GivenPin): Promise<void> {
  const may = unlockers(person).some(({ id }) => id === lead.person)
  if (!may) throw new Error(`${lead.person} does not lead this shop`)
  await forgetTries(person)
}

/** The shop's key is not here: its list of people has to come first. */
class NoSeal extends Error {
  readonly code = 'no_seal'

  constructor() {
    super('This phone has to reach the shop once before a PIN can be given on it.')
  }
}

/** The proof for one entry by its id: only the shop can read it, and it is good for that entry alone. */
export async function sealProof(given: GivenPin, entry: string): Promise<EntryProof> {
  const seal = shop.value?.seal
  if (!seal) throw new NoSeal()
  const how = { name: 'RSA-OAEP', hash: 'SHA-256' }
  const key = await crypto.subtle.importKey('spki', bytesOf(seal.key), how, false, ['encrypt'])
  const { person, pin, number } = given
  const inside = new TextEncoder().encode(JSON.stringify({ pin, number, entry }))
  return { person, sealed: base64Of(await crypto.subtle.encrypt(how, key, inside)) }
}
