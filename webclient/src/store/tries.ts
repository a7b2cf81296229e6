/** How often a PIN was tried and did not fit, for each person on this phone. It outlives the page. */
import { read, write } from './connection.ts'

/** So many misses in a row lock a person on this phone. */
export const MOST_TRIES = 5

/** `number`: of the PIN that was tried; with another PIN nothing has been tried yet. */
interface Tries {
  number: number
  tries: number
}

const keyOf = (person: string) => `pin tries/${person}`

function left(kept: unknown, number: number): number {
  const known = kept as Tries | undefined
  return known?.number === number ? Math.max(0, MOST_TRIES - known.tries) : MOST_TRIES
}

/** Tries that this person has left; 0: locked. */
export function triesLeft(person: string, number: number): Promise<number> {
  return read(['facts'], async (tx) =>
    left(await tx.objectStore('facts').get(keyOf(person)), number),
  )
}

/**
 * Counts a try before it is made, so that a page that is killed in the middle gives none away. Returns how many there
 * were before it; 0: locked, and none is made.
 */
export function countTry(person: string, number: number): Promise<number> {
  return write(['facts'], async (tx) => {
    const before = left(await tx.objectStore('facts').get(keyOf(person)), number)
    const tries = Math.min(MOST_TRIES, MOST_TRIES - before + 1)
    await tx.objectStore('facts').put({ number, tries } satisfies Tries, keyOf(person))
    return before
  })
}

/** The PIN fitted, or a lead has unlocked the person. */
export function forgetTries(person: string): Promise<void> {
  return write(['facts'], async (tx) => {
    await tx.objectStore('facts').delete(keyOf(person))
  })
}
