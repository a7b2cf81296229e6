/** What is said about a PIN: misses, the lock, and who may unlock. */

export const FEWEST_DIGITS = 6
export const MOST_DIGITS = 12

/** After a PIN that does not fit; `left`: tries before the lock. */
export function missWords(name: string, left: number): string {
  const tries = left === 1 ? 'One more try' : `${left} more tries`
  return `Wrong PIN. ${tries}, then ${name} is locked here.`
}

/** Nobody signs as this person on this phone until a lead was there. `leads`: names of who may unlock. */
export function lockedWords(name: string, leads: string[]): string {
  const first = `Five wrong PINs: ${name} is locked on this phone. What is recorded is safe.`
  if (leads.length === 0)
    return `${first} Ask at the desk for a new PIN; it counts here when this phone has next reached the shop.`
  return `${first} A lead unlocks it here with the own PIN, or gives a new one at the desk.`
}

/** What the pad's dots say to somebody who cannot see them. */
export function digitsSaid(count: number): string {
  if (count === 0) return 'No digit yet'
  return count === 1 ? '1 digit' : `${count} digits`
}
