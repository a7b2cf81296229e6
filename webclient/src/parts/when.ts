/** Times as the shop says them. */

const MINUTE = 60_000

function two(n: number): string {
  return String(n).padStart(2, '0')
}

const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ')

/** "14:02", of the clock that the reader wears. */
export function clock(at: Date): string {
  return `${two(at.getHours())}:${two(at.getMinutes())}`
}

/** "14:02" on the same day, "24 Nov, 14:02" in the same year, else with the year. */
export function moment(at: string | number, now: Date = new Date()): string {
  const then = new Date(at)
  if (Number.isNaN(then.getTime())) return 'at an unknown time'
  if (then.toDateString() === now.toDateString()) return clock(then)
  const day = `${then.getDate()} ${MONTHS[then.getMonth()]}`
  const year = then.getFullYear() === now.getFullYear() ? '' : ` ${then.getFullYear()}`
  return `${day}${year}, ${clock(then)}`
}

/** "just now", "4 min ago", then the moment itself. */
export function ago(at: number, now: Date = new Date()): string {
  const minutes = Math.floor((now.getTime() - at) / MINUTE)
  if (minutes < 1) return 'just now'
  if (minutes < 60) return `${minutes} min ago`
  return moment(at, now)
}

/** The day as "2026-11-25", by the reader's own clock: cautions are asked once a day. */
export function day(at: Date = new Date()): string {
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`
}
