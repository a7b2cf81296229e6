/**
 * This browser's own key for what it keeps of people's PINs. It cannot be read out, not even by this app: a copy of the
 * stored list alone is of no use to who wants to guess.
 */
import { write } from './connection.ts'
import { recall } from './facts.ts'

const FACT = 'pin key'

function made(): Promise<CryptoKey> {
  return crypto.subtle.generateKey({ name: 'AES-GCM', length: 256 }, false, ['encrypt', 'decrypt'])
}

/** The key, made at first need; two tabs come to the same one. */
export async function pinKey(): Promise<CryptoKey> {
  const known = await recall<CryptoKey>(FACT)
  if (known) return known
  const key = await made()
  return write(['facts'], async (tx) => {
    const others = (await tx.objectStore('facts').get(FACT)) as CryptoKey | undefined
    if (!others) await tx.objectStore('facts').put(key, FACT)
    return others ?? key
  })
}
