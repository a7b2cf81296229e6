/**
 * A spell of work: who is at the stand and with which gauge is asked once, and again only after a long pause
 * or when the phone is handed over.
 */
import { signal } from '@preact/signals'
import { people, recall, remember, trouble } from './seam.ts'

/** Longer than a lunch break, shorter than a night: after it the phone asks again who is there. */
const PAUSE = 4 * 60 * 60 * 1000

interface Kept<T> {
  value: T
  at: number
}

/** What was kept under `key` in this spell, or null. */
export async function ofThisSpell<T>(key: string, now = Date.now()): Promise<T | null> {
  const kept = await recall<Kept<T>>(`spell/${key}`)
  return kept && now - kept.at < PAUSE ? kept.value : null
}

/** Keeps `value` for this spell; keeping it again lengthens the spell. */
export async function keepForSpell<T>(key: string, value: T, now = Date.now()): Promise<void> {
  await remember(`spell/${key}`, { value, at: now } satisfies Kept<T>)
}

/** Id of the person at the stand: undefined while it is looked up, null when nobody said so yet. */
export const hand = signal<string | null | undefined>(undefined)

export async function findHand(): Promise<void> {
  hand.value = await ofThisSpell<string>('person')
}

/** The phone goes to `person`. On the disk before the screen says so; a disk that refuses keeps nobody from the work. */
export async function handTo(person: string): Promise<void> {
  await keepForSpell('person', person).catch((error) => {
    trouble.value = error as Error
  })
  hand.value = person
}

/** The spell goes on: called with every reading. */
export function stillHere(): void {
  if (hand.value) void keepForSpell('person', hand.value)
}

/** A person's name for the screen: views carry names already, entries carry ids. */
export function nameOf(person: string): string {
  return people.value.find(({ id }) => id === person)?.name ?? person
}

/** Whether a view's person, a name or an id, is the one at the stand. */
export function isHand(person: string): boolean {
  const me = hand.value
  return me !== null && me !== undefined && (person === me || person === nameOf(me))
}
