/**
 * The one-time code that lets a phone in, as a thumb types it: eight signs in two groups, of an alphabet without
 * the letters that are read as digits (Crockford's base 32).
 */

export const SIGNS = [...'0123456789ABCDEFGHJKMNPQRSTVWXYZ']
const LENGTH = 8
const HALF = LENGTH / 2
/** What an eye takes for one of the digits. */
const READ_AS: Record<string, string> = { O: '0', I: '1', L: '1' }

/** The signs of a code in whatever was typed, scanned or pasted; what is none is left out. */
export function codeOf(text: string): string {
  const signs = [...text].map((letter) => letter.toUpperCase()).map((sign) => READ_AS[sign] ?? sign)
  return signs
    .filter((sign) => SIGNS.includes(sign))
    .join('')
    .slice(0, LENGTH)
}

/** "7K3F-9QPM"; the dash comes by itself after the first half. */
export function shownCode(code: string): string {
  return code.length > HALF ? `${code.slice(0, HALF)}-${code.slice(HALF)}` : code
}

export function isWhole(code: string): boolean {
  return code.length === LENGTH
}

/** The code behind an address ("#7K3F9QPM"); empty where there is none or another thing. */
export function codeIn(hash: string): string {
  const given = hash.replace(/^#/, '')
  const code = codeOf(given)
  return isWhole(code) && code.length === given.replaceAll('-', '').length ? code : ''
}

/** How many seconds the shop asks to wait after too many wrong codes; null where it does not say. */
export function secondsOf(failure: unknown): number | null {
  const details = (failure as { details?: Record<string, unknown> } | null)?.details
  const seconds = details?.seconds
  return typeof seconds === 'number' && seconds > 0 ? Math.ceil(seconds) : null
}
