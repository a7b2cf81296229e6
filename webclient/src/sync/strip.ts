/** What the strip says: how much of the book has not reached the shop, and when it was last heard of. */
import { computed, signal } from '@preact/signals'
import { type Counts, counts, lastOwnHash, persisted, recall, remember } from '../store/index.ts'
import { shop } from './shop.ts'
import { type Trust, trust } from './trust.ts'
import { pinsWanted } from './wanted.ts'
import type { Mine } from './wire.ts'

export interface Strip {
  /** Own entries that no pull has shown yet (LG7), without those held back. */
  unsent: number
  held: number
  safe: number
  /** Photos of this device on their way. */
  photos: number
  /** Photos that the shop does not take; they stay on this device. */
  photosRefused: number
  /** Entries of other devices that this one brings to the shop. */
  carried: number
  /** Milliseconds of this device's clock; null: never. */
  lastContact: number | null
  /** The last try reached the shop. */
  online: boolean
  /** Null: the browser does not say whether it may clear the book. */
  persisted: boolean | null
  /** Whether the shop lets this device in. */
  trust: Trust
  /** What is wrong, in a sentence; null when nothing is. */
  problem: string | null
  /** Names of those whose PIN the shop wants before it takes on what waits here. */
  pinOf: string[]
  /** The server's own count and chain head cover every entry of this device. */
  allSafe: boolean
}

const CONTACT = 'last contact'
const MINE = 'shop counts'

const NOTHING: Counts = {
  unsent: 0,
  sent: 0,
  safe: 0,
  held: 0,
  dealt: 0,
  blobs: 0,
  photos: 0,
  photosRefused: 0,
  carried: 0,
  carriedHeld: 0,
}

const held = signal<Counts>(NOTHING)
const head = signal<string | null>(null)
const lastContact = signal<number | null>(null)
const online = signal(false)
/** The server's record of this device, as last told. */
const mine = signal<Mine | null>(null)
/** Set by the loop; see `Strip.problem`. */
export const problem = signal<string | null>(null)

function covered(c: Counts): boolean {
  const waiting = c.unsent + c.sent + c.held + c.blobs + c.photos + c.carried + c.carriedHeld
  if (waiting > 0) return false
  const made = c.safe + c.dealt
  return made === 0 || (mine.value?.count === made && mine.value.head === head.value)
}

function nameIn(person: string): string {
  return shop.value?.people.find(({ id }) => id === person)?.name ?? person
}

export const strip = computed<Strip>(() => ({
  unsent: held.value.unsent + held.value.sent,
  held: held.value.held + held.value.carriedHeld,
  safe: held.value.safe,
  photos: held.value.photos,
  photosRefused: held.value.photosRefused,
  carried: held.value.carried,
  lastContact: lastContact.value,
  online: online.value,
  persisted: persisted.value,
  trust: trust.value,
  problem: problem.value,
  pinOf: [...new Set(pinsWanted.value.map(({ person }) => nameIn(person)))],
  allSafe: covered(held.value),
}))

async function countNow(): Promise<void> {
  const [now, hash] = await Promise.all([counts(), lastOwnHash()])
  held.value = now
  head.value = hash
}

let counting: Promise<void> | null = null
let next: Promise<void> | null = null

function begin(): Promise<void> {
  counting = countNow().finally(() => {
    counting = null
  })
  return counting
}

async function countAfter(running: Promise<void>): Promise<void> {
  await running.catch(() => undefined)
  next = null
  await begin()
}

/**
 * Counts again; to be called when entries came or went. However many call during a count, one more follows it: they
 * would stand in the way of an entry on its way to the disk.
 */
export function recount(): Promise<void> {
  if (counting === null) return begin()
  next ??= countAfter(counting)
  return next
}

/** Shows what was known when the app was last open. */
export async function recallContact(): Promise<void> {
  const [at, record] = await Promise.all([recall<number>(CONTACT), recall<Mine>(MINE), recount()])
  lastContact.value = at
  mine.value = record
}

/** The shop answered. */
export async function contact(record: Mine | null): Promise<void> {
  online.value = true
  lastContact.value = Date.now()
  if (record) mine.value = record
  await remember(CONTACT, lastContact.value)
  if (record) await remember(MINE, record)
}

export function noContact(): void {
  online.value = false
}
