/** The clock of a wait. The brain says how long and from when; here the seconds are only counted down. */
import type { Wait } from '../brain/types.ts'

/** Seconds still to wait, never more than the whole wait: a phone's clock may have been put back meanwhile. */
export function secondsLeft(wait: Wait, now: number): number {
  const whole = wait.minutes * 60
  const since = Date.parse(wait.since)
  if (Number.isNaN(since)) return whole
  return Math.min(whole, Math.max(0, Math.ceil(whole - (now - since) / 1000)))
}
