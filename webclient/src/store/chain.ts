/**
 * This browser's chain of numbers (LG5) and how far it has seen the shop's book, kept at hand between entries:
 * reading them from the disk would double the time from the tap to the disk.
 *
 * Another tab may have taken the number that is next here. Its row is in the table then, the table takes each
 * number once, and the writer looks again: no lock is needed for two tabs never to number twice.
 */
import { sweepStrays } from './carried.ts'
import { onChange } from './changes.ts'
import { connectionNo, write } from './connection.ts'
import { cursorIn, identityIn } from './device.ts'

export interface Link {
  device: string
  device_no: number
  /** The shop's seq that this tab has seen. */
  seen: number
  /** Where this was read. */
  connection: number
}

let at: Link | null = null

async function look(): Promise<Link> {
  return write(['device', 'own', 'carried'], async (tx) => {
    const { device } = await identityIn(tx)
    await sweepStrays(tx, device)
    const { after: seen } = await cursorIn(tx)
    const last = await tx.objectStore('own').openKeyCursor(null, 'prev')
    return { device, device_no: (last?.key ?? 0) + 1, seen, connection: connectionNo() }
  })
}

/** The next free link, as far as this tab knows. */
export async function nextLink(): Promise<Link> {
  at ??= await look()
  return at
}

/** The link is on the disk: the next one is free, unless something moved in the meantime. */
export function linkTaken(link: Link): void {
  if (at === link) at = { ...link, device_no: link.device_no + 1 }
}

/** What this tab knows may be wrong: look again before the next entry. */
export function forgetLink(): void {
  at = null
}

// Own entries of this tab move the chain themselves; a pull or another tab may have moved it unseen.
onChange((change) => {
  if (!change.entries) forgetLink()
})
