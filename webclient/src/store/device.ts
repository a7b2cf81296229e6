/** Who this browser is to the server, and how much of the shop's book it has. */
import { read, write } from './connection.ts'
import type { Before, Cursor, Identity } from './schema.ts'
import { witness } from './witness.ts'

const IDENTITY = 'identity'
const CURSOR = 'cursor'
const NOTHING_PULLED: Cursor = { epoch: null, after: 0, hash: null }

/** Any transaction that holds the device's table. */
export interface DeviceTable {
  objectStore(name: 'device'): { get(key: string): Promise<unknown> }
}

export interface WritableDeviceTable {
  objectStore(name: 'device'): {
    get(key: string): Promise<unknown>
    put(value: Identity | Cursor, key: string): Promise<unknown>
  }
}

/** The identity inside a transaction; made on first use, in that same transaction. */
export async function identityIn(tx: WritableDeviceTable): Promise<Identity> {
  const known = (await tx.objectStore('device').get(IDENTITY)) as Identity | undefined
  return known ?? putIdentity(tx, clearedBefore())
}

/** The storage is empty and the witness is not: the browser has cleared the book (LG14). */
function clearedBefore(): Before | undefined {
  const last = witness()
  return last ? { ...last, why: 'cleared', at_shop: null, told: false } : undefined
}

/** A new identity with its own chain from 1 on. */
export async function putIdentity(tx: WritableDeviceTable, before?: Before): Promise<Identity> {
  const made: Identity = { device: crypto.randomUUID(), ...(before && { before }) }
  await tx.objectStore('device').put(made, IDENTITY)
  return made
}

export async function cursorIn(tx: DeviceTable): Promise<Cursor> {
  return ((await tx.objectStore('device').get(CURSOR)) as Cursor | undefined) ?? NOTHING_PULLED
}

export async function putCursor(tx: WritableDeviceTable, cursor: Cursor): Promise<void> {
  await tx.objectStore('device').put(cursor, CURSOR)
}

/** Who this browser is; written only where it is nobody yet. */
export async function identity(): Promise<Identity> {
  const known = await read(['device'], (tx) => tx.objectStore('device').get(IDENTITY))
  return (known as Identity | undefined) ?? write(['device'], identityIn)
}

export function cursor(): Promise<Cursor> {
  return read(['device'], cursorIn)
}

/** Notes what became known of what this browser was before. */
export function noteBefore(news: Partial<Pick<Before, 'at_shop' | 'told'>>): Promise<void> {
  return write(['device'], async (tx) => {
    const known = await identityIn(tx)
    if (known.before)
      await tx
        .objectStore('device')
        .put({ ...known, before: { ...known.before, ...news } }, IDENTITY)
  })
}
