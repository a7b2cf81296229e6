/**
 * Offering everything again to a shop that was restored (LG9). Own entries go through it in breaths, each on the disk
 * by itself: a long life takes many seconds, and whoever records meanwhile must not wait for that.
 */
import { putAnswered } from './answered.ts'
import { read, type Writing, write } from './connection.ts'
import type { Offering, OwnRow } from './schema.ts'

const OFFERING = 'offering'
/** Rows in one breath: a fifth of a second on a slow phone. */
const BREATH = 500
const UNSENT = { sent: 'no', held: null, seq: null, hash: null } as const

/** What a book put aside and all that is offered again lie in, but for own entries. */
export type Aside = 'chunks' | 'old_chunks' | 'device' | 'carried' | 'builds' | 'blobs' | 'photos'

/** Any transaction that holds the device's table. */
interface DeviceTable {
  objectStore(name: 'device'): { get(key: string): Promise<unknown> }
}

/** How far the offering has come; undefined when none is under way. */
export async function offeringIn(tx: DeviceTable): Promise<Offering | undefined> {
  return (await tx.objectStore('device').get(OFFERING)) as Offering | undefined
}

/** Files that a restored server had are as new to it as the entries that name them, whoever made them. */
export async function offerFiles(tx: Writing<Aside>): Promise<void> {
  const [blobs, photos] = [tx.objectStore('blobs'), tx.objectStore('photos')]
  for (const sha256 of await blobs.index('uploaded').getAllKeys(1)) {
    const row = await blobs.get(sha256)
    if (row) await blobs.put({ ...row, uploaded: 0 })
  }
  for (const note of await photos.index('sent').getAll(1)) await photos.put({ ...note, sent: 0 })
}

/** Begins with what is carried; own entries follow in `offerRest`. */
export async function offerEntries(tx: Writing<Aside>): Promise<void> {
  const carried = tx.objectStore('carried')
  for (const row of await carried.getAll()) await carried.put({ ...row, ...UNSENT })
  await tx.objectStore('device').put({ after: 0 }, OFFERING)
  await putAnswered(tx, 0)
}

/** The next rows after the number that the offering has come to; none at its end. */
async function breath(tx: Writing<'own' | 'device'>): Promise<OwnRow[]> {
  const at = await offeringIn(tx)
  const beyond = IDBKeyRange.lowerBound(at?.after ?? 0, true)
  return at ? tx.objectStore('own').getAll(beyond, BREATH) : []
}

async function offerNext(): Promise<boolean> {
  return write(['own', 'device'], async (tx) => {
    const rows = await breath(tx)
    const answered = rows.filter((row) => row.sent !== 'no')
    await Promise.all(answered.map((row) => tx.objectStore('own').put({ ...row, ...UNSENT })))
    const last = rows.at(-1)
    if (last) await tx.objectStore('device').put({ after: last.device_no }, OFFERING)
    else await tx.objectStore('device').delete(OFFERING)
    return last !== undefined
  })
}

/** Brings an offering to its end, also one that another page has begun and did not live to finish. */
export async function offerRest(): Promise<void> {
  if (!(await read(['device'], offeringIn))) return
  while (await offerNext());
}
