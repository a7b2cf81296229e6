/** P-256 keys that can be made and used at once. They lie on a phone's disk as plain objects. */
import { createECDH, createPrivateKey, createPublicKey, sign } from 'node:crypto'

const HALF = 32

function jwkOf(secret) {
  const pair = createECDH('prime256v1')
  pair.setPrivateKey(secret)
  const point = pair.getPublicKey()
  const part = (at) => point.subarray(at, at + HALF).toString('base64url')
  return { kty: 'EC', crv: 'P-256', x: part(1), y: part(1 + HALF), d: Buffer.from(secret).toString('base64url') }
}

/** The highest bit is taken away: a few of the highest numbers are no keys. */
export function newPair(secret) {
  secret[0] &= 0x7f
  const jwk = jwkOf(secret)
  return { privateKey: { jwk }, publicKey: { jwk } }
}

function plain(buffer) {
  return buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.byteLength)
}

export function spkiOf({ jwk }) {
  return plain(createPublicKey({ key: jwk, format: 'jwk' }).export({ format: 'der', type: 'spki' }))
}

export function signed({ jwk }, data) {
  const key = createPrivateKey({ key: jwk, format: 'jwk' })
  return plain(sign('sha256', Buffer.from(data), { key, dsaEncoding: 'ieee-p1363' }))
}
