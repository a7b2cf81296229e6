/** Small facts of this device: who is working, with which instrument, which unit was picked last. */
import { read, write } from './connection.ts'

/** Keeps `value` under `key`; it must be plain data. */
export function remember(key: string, value: unknown): Promise<void> {
  return write(['facts'], async (tx) => {
    await tx.objectStore('facts').put(value, key)
  })
}

/** What was kept under `key`; null when nothing was. The caller names the shape it wrote. */
export async function recall<T>(key: string): Promise<T | null> {
  const value = await read(['facts'], (tx) => tx.objectStore('facts').get(key))
  return (value as T | undefined) ?? null
}
