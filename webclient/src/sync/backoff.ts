/** How long to wait after a failure: twice as long each time, with chance in it, so that phones do not march in step. */

const FIRST_MS = 2_000
const MOST_MS = 120_000

/** Milliseconds to wait after `misses` failures in a row. `chance` is in 0…1. */
export function waitAfter(misses: number, chance: number = Math.random()): number {
  const full = Math.min(MOST_MS, FIRST_MS * 2 ** Math.min(misses - 1, 10))
  return full / 2 + (chance * full) / 2
}
