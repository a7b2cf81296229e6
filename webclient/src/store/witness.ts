/**
 * What this browser last was and how many entries it had made, outside the book's storage: a browser that clears the
 * one may leave the other, and then it can be said what was lost.
 */

const KEY = 'standbook-device'

export interface Witness {
  device: string
  made: number
}

/** Null where nothing was noted, or where the browser keeps nothing. */
export function witness(): Witness | null {
  try {
    const { device, made } = JSON.parse(localStorage.getItem(KEY) ?? 'null')
    return typeof device === 'string' && Number.isInteger(made) ? { device, made } : null
  } catch {
    return null
  }
}

/** Notes that `device` has given out the number `made`; another tab may have noted a later one. */
export function noteMade(device: string, made: number): void {
  const known = witness()
  if (known?.device === device && known.made >= made) return
  try {
    localStorage.setItem(KEY, JSON.stringify({ device, made } satisfies Witness))
  } catch {
    // Without a witness a cleared browser starts as a new device and cannot say what it was.
  }
}
