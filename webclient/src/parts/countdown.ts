/** How long something still holds. */

const MINUTE = 60

/** Whole seconds until `until`, both in ms of this device's clock; 0 when it is over. */
export function secondsLeft(until: number, now: number): number {
  return Math.max(0, Math.ceil((until - now) / 1000))
}

/** "9:41"; "0:07". */
export function shownTime(seconds: number): string {
  return `${Math.floor(seconds / MINUTE)}:${String(seconds % MINUTE).padStart(2, '0')}`
}

/**
 * When something ends by this device's clock. `said`: the moment that the server named. A clock that is set wrong
 * would show too little or far too much: then all of `life` (ms) is left from `now` on.
 */
export function endsAt(said: string, life: number, now: number): number {
  const until = Date.parse(said)
  return until > now && until <= now + life ? until : now + life
}
