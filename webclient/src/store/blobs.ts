/** Texts by their sha256: what a signature showed, limits tables. They travel apart from entries (LG13). */
import { read, write } from './connection.ts'

/** The sha256 of a text's UTF-8 bytes, as hex. */
export async function sha256(text: string): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text))
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('')
}

/** A text that is here; null when it has to be fetched. */
export async function blobText(hash: string): Promise<string | null> {
  const row = await read(['blobs'], (tx) => tx.objectStore('blobs').get(hash))
  return row?.text ?? null
}

/** Keeps a text that came from the server. */
export function keepBlob(hash: string, text: string): Promise<void> {
  return write(['blobs'], async (tx) => {
    await tx.objectStore('blobs').put({ sha256: hash, text, uploaded: 1 })
  })
}

/** Texts that the server has not confirmed yet. */
export function blobsToSend(): Promise<{ sha256: string; text: string }[]> {
  return read(['blobs'], (tx) => tx.objectStore('blobs').index('uploaded').getAll(0))
}

export function markUploaded(hash: string): Promise<void> {
  return write(['blobs'], async (tx) => {
    const row = await tx.objectStore('blobs').get(hash)
    if (row) await tx.objectStore('blobs').put({ ...row, uploaded: 1 })
  })
}

/** Takes in a text that another device has still to send; one that is here stays as it is. */
export function keepTextToSend(hash: string, text: string): Promise<void> {
  return write(['blobs'], async (tx) => {
    const known = await tx.objectStore('blobs').get(hash)
    if (!known) await tx.objectStore('blobs').put({ sha256: hash, text, uploaded: 0 })
  })
}
