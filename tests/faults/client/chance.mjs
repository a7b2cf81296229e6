import { newPair, signed, spkiOf } from './keys.mjs'
import { decrypted, encrypted, newSecret, sealed, slowHash } from './secrets.mjs'

/** Numbers by chance that are the same for the same seed (mulberry32). */
export function chance(seed) {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32
  }
}

function filled(array, next) {
  const bytes = new Uint8Array(array.buffer, array.byteOffset, array.byteLength)
  for (let at = 0; at < bytes.length; at += 1) bytes[at] = Math.floor(next() * 256)
  return array
}

function uuid4(next) {
  const bytes = filled(new Uint8Array(16), next)
  bytes[6] = 0x40 | (bytes[6] & 0x0f)
  bytes[8] = 0x80 | (bytes[8] & 0x3f)
  const hex = Buffer.from(bytes).toString('hex')
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5')
}

function made(name, bytes) {
  return name === 'AES-GCM' ? newSecret(bytes) : newPair(bytes)
}

/** A page's `crypto` over these numbers. All is made at once: a thread of its own would have its own order. */
export function cryptoFrom(next, digest) {
  const atOnce = (work) => async (...words) => work(...words)
  return {
    getRandomValues: (array) => filled(array, next),
    randomUUID: () => uuid4(next),
    subtle: {
      digest: atOnce((_name, data) => digest(data)),
      generateKey: atOnce(({ name }) => made(name, filled(new Uint8Array(32), next))),
      importKey: atOnce((_form, bytes) => bytes),
      exportKey: atOnce((_form, key) => spkiOf(key)),
      sign: atOnce((_how, key, data) => signed(key, data)),
      encrypt: atOnce((how, key, data) => (how.name === 'AES-GCM' ? encrypted(how, key, data) : sealed(key, data))),
      decrypt: atOnce(decrypted),
      deriveBits: atOnce(slowHash),
    },
  }
}

/** A page's `Math`: its chance is the story's. */
export function mathFrom(next) {
  return Object.assign(Object.create(Math), { random: next })
}
