/** Writing an entry: number, text, blobs and the end of its draft, in one strict transaction. */
import type { BookEntry } from './book.ts'
import { touch } from './builds.ts'
import { announce } from './changes.ts'
import { type Writing, write } from './connection.ts'
import { cursorIn, takeNumber } from './device.ts'
import { newId } from './ids.ts'
import type { OwnRow } from './schema.ts'
import { entryText } from './text.ts'

export interface NewEntry {
  build: string
  kind: string
  step: string | null
  place: string | null
  why: string | null
  body: object
  person: string
  trade_version: string
  /** Texts that the entry names by hash; they are on disk when the entry is (LG13). */
  blobs?: { sha256: string; text: string }[]
  /** The draft that this entry makes good: gone exactly when the entry is there. */
  draft?: string
}

const TABLES: ('device' | 'own' | 'blobs' | 'drafts' | 'builds')[] = [
  'device',
  'own',
  'blobs',
  'drafts',
  'builds',
]
type Recording = Writing<'device' | 'own' | 'blobs' | 'drafts' | 'builds'>

async function compose(tx: Recording, entry: NewEntry): Promise<OwnRow> {
  const { next_no: device_no, device } = await takeNumber(tx)
  const { after: seen } = await cursorIn(tx)
  const { build, kind, step, place, why, body, person, trade_version } = entry
  const made = { id: newId(), made_at: new Date().toISOString() }
  const text = entryText({
    id: made.id,
    build,
    kind,
    step,
    place,
    why,
    body,
    person,
    device,
    device_no,
    made_at: made.made_at,
    seen,
    trade_version,
  })
  return { device_no, id: made.id, build, text, sent: 'no', held: null, seq: null, hash: null }
}

async function store(tx: Recording, entry: NewEntry): Promise<OwnRow> {
  const row = await compose(tx, entry)
  await tx.objectStore('own').add(row)
  for (const blob of entry.blobs ?? []) {
    const known = await tx.objectStore('blobs').get(blob.sha256)
    if (!known) await tx.objectStore('blobs').put({ ...blob, uploaded: 0 })
  }
  if (entry.draft) await tx.objectStore('drafts').delete(entry.draft)
  await touch(tx, [entry.build])
  return row
}

/** One chain per browser: the lock keeps two tabs from taking the same number (LG5). */
function inChain<T>(work: () => Promise<T>): Promise<T> {
  const locks = globalThis.navigator?.locks
  return locks ? (locks.request('standbook chain', work) as Promise<T>) : work()
}

/**
 * Records an entry. Resolves when it is on disk; rejects with a StoreFailure, and then nothing of it is
 * stored, no number is used up and its draft is still there (LG14).
 */
export async function record(entry: NewEntry): Promise<BookEntry> {
  const row = await inChain(() => write(TABLES, (tx) => store(tx, entry)))
  const { id, build, text, device_no } = row
  const stored: BookEntry = { id, build, text, seq: null, device_no, sent: 'no', held: null }
  announce({ builds: [build], entries: [stored] })
  return stored
}
