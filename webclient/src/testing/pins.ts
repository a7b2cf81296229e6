/** PINs as the shop's server gives them, and its half of the seal. */
import {
  constants,
  createHash,
  generateKeyPairSync,
  pbkdf2Sync,
  privateDecrypt,
  randomBytes,
} from 'node:crypto'
import type { Pin, Seal, ShopPerson } from '../sync/wire.ts'

/** A test hashes quickly. */
const ITERATIONS = 1000

export function pinOf(pin: string, number = 1): Pin {
  const salt = randomBytes(16)
  const hash = pbkdf2Sync(pin, salt, ITERATIONS, 32, 'sha256')
  return {
    number,
    salt: salt.toString('base64'),
    hash: hash.toString('base64'),
    iterations: ITERATIONS,
  }
}

export function person(id: string, role: string, pin: Pin | null): ShopPerson {
  return { id, name: id.toUpperCase(), role, pin }
}

/** The server's key pair: what phones get of it, and what it reads with the other half. */
export class TestSeal {
  private readonly keys = generateKeyPairSync('rsa', { modulusLength: 2048 })

  get public(): Seal {
    const spki = this.keys.publicKey.export({ type: 'spki', format: 'der' })
    const id = createHash('sha256').update(spki).digest('hex').slice(0, 16)
    return { key: spki.toString('base64'), id }
  }

  open(sealed: string): unknown {
    const how = { padding: constants.RSA_PKCS1_OAEP_PADDING, oaepHash: 'sha256' }
    const key = { key: this.keys.privateKey, ...how }
    return JSON.parse(privateDecrypt(key, Buffer.from(sealed, 'base64')).toString())
  }
}
