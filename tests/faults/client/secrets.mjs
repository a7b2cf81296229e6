/** A page's way with PINs, made at once: keys that lie on a phone's disk as plain objects, slow hashes, seals. */
import { constants, createCipheriv, createDecipheriv, createPublicKey, pbkdf2Sync, publicEncrypt } from 'node:crypto'

const TAG_BYTES = 16

/** Bytes of their own: what is kept is copied whole, and a Node buffer may lie in a larger one. */
function plain(bytes) {
  return new Uint8Array(bytes).buffer
}

export function newSecret(bytes) {
  return { aes: Buffer.from(bytes).toString('base64') }
}

/** AES-GCM, with its tag behind it as a browser gives it. */
export function encrypted({ iv, additionalData }, { aes }, data) {
  const cipher = createCipheriv('aes-256-gcm', Buffer.from(aes, 'base64'), iv).setAAD(additionalData)
  return plain(Buffer.concat([cipher.update(data), cipher.final(), cipher.getAuthTag()]))
}

export function decrypted({ iv, additionalData }, { aes }, data) {
  const bytes = Buffer.from(data)
  const decipher = createDecipheriv('aes-256-gcm', Buffer.from(aes, 'base64'), iv).setAAD(additionalData)
  decipher.setAuthTag(bytes.subarray(-TAG_BYTES))
  return plain(Buffer.concat([decipher.update(bytes.subarray(0, -TAG_BYTES)), decipher.final()]))
}

/** RSA-OAEP with SHA-256, to a key given as SPKI. */
export function sealed(spki, data) {
  const key = createPublicKey({ key: Buffer.from(spki), format: 'der', type: 'spki' })
  return plain(publicEncrypt({ key, padding: constants.RSA_PKCS1_OAEP_PADDING, oaepHash: 'sha256' }, Buffer.from(data)))
}

/** PBKDF2 with SHA-256. */
export function slowHash({ salt, iterations }, typed, bits) {
  return plain(pbkdf2Sync(Buffer.from(typed), salt, iterations, bits / 8, 'sha256'))
}
