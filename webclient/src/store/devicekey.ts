/**
 * The device's own key, by which the shop can tell that something came from this phone: P-256, made here, its private
 * half never to be read by anybody, bound to one identity. A new identity gets a new key.
 *
 * Where a browser can neither make nor keep one, the phone records and sends without.
 */
import { read, write } from './connection.ts'
import { type DeviceTable, identityIn } from './device.ts'
import type { KeyRow } from './schema.ts'

const KEY = 'key'
const CURVE: EcKeyGenParams = { name: 'ECDSA', namedCurve: 'P-256' }
const SIGNING: EcdsaParams = { name: 'ECDSA', hash: 'SHA-256' }

export interface DeviceKey {
  device: string
  /** SPKI in base64. */
  publicKey: string
  /** The signature in base64: r and s, 32 bytes each. */
  sign(text: string): Promise<string>
}

function base64(bytes: ArrayBuffer): string {
  return btoa(String.fromCharCode(...new Uint8Array(bytes)))
}

const encoder = new TextEncoder()
let room = new Uint8Array(0)

/**
 * A text's UTF-8 for whoever takes a copy at once, as WebCrypto does: the room is used again. New room for each batch
 * takes a slow phone ten times as long.
 */
function passingBytes(text: string): Uint8Array<ArrayBuffer> {
  const most = 3 * text.length
  if (room.length < most) room = new Uint8Array(most)
  return room.subarray(0, encoder.encodeInto(text, room).written)
}

function usable({ device, publicKey, privateKey }: KeyRow): DeviceKey {
  const sign = async (text: string) =>
    base64(await crypto.subtle.sign(SIGNING, privateKey, passingBytes(text)))
  return { device, publicKey, sign }
}

async function rowIn(tx: DeviceTable): Promise<KeyRow | undefined> {
  const row = (await tx.objectStore('device').get(KEY)) as KeyRow | undefined
  // Some browsers take a key and give nothing back.
  return row?.privateKey ? row : undefined
}

async function made(device: string): Promise<KeyRow> {
  const pair = await crypto.subtle.generateKey(CURVE, false, ['sign', 'verify'])
  const publicKey = base64(await crypto.subtle.exportKey('spki', pair.publicKey))
  return { device, publicKey, privateKey: pair.privateKey }
}

/** The first one to be kept is the key: another tab may have made one meanwhile, or have left the identity. */
function keepKey(row: KeyRow): Promise<KeyRow | undefined> {
  return write(['device'], async (tx) => {
    const { device } = await identityIn(tx)
    const known = await rowIn(tx)
    if (device === row.device && known?.device !== device)
      await tx.objectStore('device').put(row, KEY)
    return rowIn(tx)
  })
}

async function find(device: string): Promise<KeyRow | undefined> {
  const row = await read(['device'], rowIn)
  return row?.device === device ? row : undefined
}

let known: DeviceKey | null = null

/** The key of this identity, made at the first call; null where there is none, or where this is another device now. */
export async function deviceKey(device: string): Promise<DeviceKey | null> {
  if (known?.device === device) return known
  try {
    const row = (await find(device)) ?? (await keepKey(await made(device)))
    known = row?.device === device ? usable(row) : null
    return known
  } catch {
    return null
  }
}
