/** Tells every tab of this browser what came into the book or changed in it. */
import type { BookEntry } from './book.ts'

export interface Change {
  /** Builds whose entries came or went; empty when only the counts of the outbox moved. */
  builds: string[]
  /** The entries themselves, when they are new in this tab: saves the listener a read. */
  entries?: BookEntry[]
  /** True when everything may be different: history was dropped and is being pulled again. */
  all?: boolean
}

const listeners = new Set<(change: Change) => void>()
const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('standbook')

function tell(change: Change): void {
  for (const listener of listeners) listener(change)
}

channel?.addEventListener('message', (event: MessageEvent<Change>) => tell(event.data))

/** Calls `listener` after each change, from this tab or another. Returns how to stop it. */
export function onChange(listener: (change: Change) => void): () => void {
  listeners.add(listener)
  return () => listeners.delete(listener)
}

/** To be called when the change is on disk. */
export function announce(change: Change): void {
  channel?.postMessage({ builds: change.builds, all: change.all ?? false })
  tell(change)
}
