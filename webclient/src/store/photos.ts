/** Photos on this device: as they came from the camera, and as they are sent (LG13). */
import { read, write } from './connection.ts'
import type { PhotoPlace, PhotoRow, RawPhoto } from './schema.ts'

/** The sha256 of bytes, as hex. */
export async function sha256OfBytes(bytes: ArrayBuffer): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', bytes)
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('')
}

/** What the camera gave, on disk before anything is done with it. Gives its key. */
export function keepRaw(bytes: ArrayBuffer, type: string, where: PhotoPlace): Promise<number> {
  return write(['raw_photos'], (tx) => tx.objectStore('raw_photos').put({ bytes, type, where }))
}

/** Pictures that were taken and not made into entries: the page did not live long enough. */
export function rawPhotos(): Promise<Required<RawPhoto>[]> {
  return read(
    ['raw_photos'],
    async (tx) => (await tx.objectStore('raw_photos').getAll()) as Required<RawPhoto>[],
  )
}

export function dropRaw(key: number): Promise<void> {
  return write(['raw_photos'], (tx) => tx.objectStore('raw_photos').delete(key))
}

/** A photo that is on this device; null when it has to be fetched. */
export async function photo(sha256: string): Promise<PhotoRow | null> {
  return (await read(['photos'], (tx) => tx.objectStore('photos').get(sha256))) ?? null
}

/** Addresses of photos that the shop has not confirmed. Their bytes are read one by one: five hundred fill a memory. */
export function photosToSend(): Promise<string[]> {
  return read(['photos'], (tx) => tx.objectStore('photos').index('sent').getAllKeys(0))
}

export function markPhoto(sha256: string, sent: PhotoRow['sent']): Promise<void> {
  return write(['photos'], async (tx) => {
    const row = await tx.objectStore('photos').get(sha256)
    if (row) await tx.objectStore('photos').put({ ...row, sent })
  })
}

/** Takes in a photo that another device took; one that is here stays as it is. */
export function carryPhoto(row: PhotoRow): Promise<void> {
  return write(['photos'], async (tx) => {
    if (!(await tx.objectStore('photos').getKey(row.sha256)))
      await tx.objectStore('photos').put(row)
  })
}
