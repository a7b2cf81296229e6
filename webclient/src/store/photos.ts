/** Photos on this device: as they came from the camera, and as they are sent (LG13). */
import { read, write } from './connection.ts'
import type { PhotoNote, PhotoPlace, PhotoRow, RawPhoto } from './schema.ts'

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
export function photo(sha256: string): Promise<PhotoRow | null> {
  return read(['photos', 'photo_bytes'], async (tx) => {
    const [note, bytes] = await Promise.all([
      tx.objectStore('photos').get(sha256),
      tx.objectStore('photo_bytes').get(sha256),
    ])
    return note && bytes ? { ...note, bytes } : null
  })
}

/** Addresses of photos that are so far on their way. Bytes are read one by one: five hundred fill a memory. */
export function photosMarked(sent: PhotoRow['sent']): Promise<string[]> {
  return read(['photos'], (tx) => tx.objectStore('photos').index('sent').getAllKeys(sent))
}

/** Addresses of photos that the shop has not confirmed. */
export function photosToSend(): Promise<string[]> {
  return photosMarked(0)
}

export function markPhoto(sha256: string, sent: PhotoRow['sent']): Promise<void> {
  return write(['photos'], async (tx) => {
    const row = await tx.objectStore('photos').get(sha256)
    if (row) await tx.objectStore('photos').put({ ...row, sent })
  })
}

/** Any transaction that holds a photo's two tables. */
interface PhotoTables {
  objectStore(name: 'photos'): {
    getKey(key: string): Promise<IDBValidKey | undefined>
    put(note: PhotoNote): Promise<unknown>
  }
  objectStore(name: 'photo_bytes'): { put(bytes: ArrayBuffer, key: string): Promise<unknown> }
}

/** Keeps a photo; one that is here already stays as it is: the shop may have it. */
export async function keepPhotoIn(tx: PhotoTables, { bytes, ...note }: PhotoRow): Promise<void> {
  if (await tx.objectStore('photos').getKey(note.sha256)) return
  await Promise.all([
    tx.objectStore('photos').put(note),
    tx.objectStore('photo_bytes').put(bytes, note.sha256),
  ])
}

/** Takes in a photo that another device took. */
export function carryPhoto(row: PhotoRow): Promise<void> {
  return write(['photos', 'photo_bytes'], (tx) => keepPhotoIn(tx, row))
}
