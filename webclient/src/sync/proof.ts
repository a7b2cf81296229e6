/** Checks that the server's record of an entry covers the very bytes that were sent (LG7). */
import type { PulledEntry } from './wire.ts'

const PREV_BYTES = 32

function bytesOf(hex: string): Uint8Array {
  return Uint8Array.from({ length: PREV_BYTES }, (_, at) =>
    Number.parseInt(hex.slice(2 * at, 2 * at + 2), 16),
  )
}

/** True when `hash` is the sha256 of the 32 bytes of `prev` followed by the text's UTF-8 bytes. */
export async function proven({ prev, hash, text }: PulledEntry): Promise<boolean> {
  const body = new TextEncoder().encode(text)
  const chained = new Uint8Array(PREV_BYTES + body.length)
  chained.set(bytesOf(prev))
  chained.set(body, PREV_BYTES)
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', chained))
  return hash === Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('')
}

/** True when every entry of `device` in the page is proven. Others' entries are theirs to prove. */
export async function ownProven(entries: PulledEntry[], device: string): Promise<boolean> {
  const own = entries.filter((entry) => entry.text.includes(device))
  return (await Promise.all(own.map(proven))).every(Boolean)
}
