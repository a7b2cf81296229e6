/** Asks the browser not to clear the book when the device runs short of room. */
import { signal } from '@preact/signals'

/** True: kept; false: the browser may clear it; null: it does not say. */
export const persisted = signal<boolean | null>(null)

/** Asks once and notes the answer; a browser without the question leaves it open. */
export async function askToPersist(): Promise<void> {
  const storage = globalThis.navigator?.storage
  if (!storage?.persist) return
  persisted.value = (await storage.persisted()) || (await storage.persist())
}
