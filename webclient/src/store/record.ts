/** Writing an entry: number, text, blobs and the end of its draft, in one strict transaction. */
import type { BookEntry } from './book.ts'
import { forgetLink, type Link, linkTaken, nextLink } from './chain.ts'
import { announce } from './changes.ts'
import { connectionNo, type Writing, write } from './connection.ts'
import { draftAtRest } from './drafts.ts'
import { StoreFailure } from './failure.ts'
import { newId } from './ids.ts'
import { keepPhotoIn } from './photos.ts'
import type { EntryProof, OwnRow, PhotoRow } from './schema.ts'
import { entryText } from './text.ts'
import { noteMade } from './witness.ts'

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
  /** The picture that it names: on disk when the entry is (LG13). `raw`: what it was made from, gone with that. */
  photo?: { row: PhotoRow; raw: number | null }
  /** Makes the proof for the entry with this id; on disk when the entry is. */
  prove?: (id: string) => Promise<EntryProof>
}

type Table = 'own' | 'blobs' | 'drafts' | 'photos' | 'photo_bytes' | 'raw_photos'

function compose(entry: NewEntry, { device, device_no, seen }: Link): OwnRow {
  const { build, kind, step, place, why, body, person, trade_version } = entry
  const id = newId()
  const made_at = new Date().toISOString()
  const what = { id, build, kind, step, place, why, body, person }
  const text = entryText({ ...what, device, device_no, made_at, seen, trade_version })
  return { device_no, device, id, build, text, sent: 'no', held: null, seq: null, hash: null }
}

function tablesFor(entry: NewEntry): Table[] {
  const tables: Table[] = ['own']
  if (entry.blobs?.length) tables.push('blobs')
  if (entry.draft) tables.push('drafts')
  if (entry.photo) tables.push('photos', 'photo_bytes', 'raw_photos')
  return tables
}

async function addRow(tx: Writing<Table>, row: OwnRow): Promise<void> {
  await tx.objectStore('own').add(row)
}

/** A blob that is here already stays as it is: the shop may have it. */
async function addBlob(tx: Writing<Table>, sha256: string, text: string): Promise<void> {
  const known = await tx.objectStore('blobs').get(sha256)
  if (!known) await tx.objectStore('blobs').put({ sha256, text, uploaded: 0 })
}

async function dropDraft(tx: Writing<Table>, key: string | undefined): Promise<void> {
  if (key) await tx.objectStore('drafts').delete(key)
}

/** What the camera gave becomes one entry: another tab may have taken it up meanwhile, and then it is gone. */
async function takeRaw(tx: Writing<Table>, key: number | null): Promise<void> {
  if (key === null) return
  const there = await tx.objectStore('raw_photos').getKey(key)
  if (there === undefined) throw new StoreFailure('entered_before')
  await tx.objectStore('raw_photos').delete(key)
}

async function addPhoto(tx: Writing<Table>, photo: NewEntry['photo']): Promise<void> {
  if (!photo) return
  await takeRaw(tx, photo.raw)
  await keepPhotoIn(tx, photo.row)
}

/** All at once: one way to the disk and back. */
async function store(tx: Writing<Table>, entry: NewEntry, link: Link, row: OwnRow): Promise<void> {
  // Somebody may have deleted the site's data: then this browser is another device, with a chain from 1 on.
  if (link.connection !== connectionNo()) throw new Moved()
  const asked = Promise.all([
    addRow(tx, row),
    dropDraft(tx, entry.draft),
    addPhoto(tx, entry.photo),
    ...(entry.blobs ?? []).map((blob) => addBlob(tx, blob.sha256, blob.text)),
  ])
  if (!entry.blobs?.length && !entry.photo) commitNow(tx)
  await asked
}

/** No further request follows: the disk need not wait until this page has heard of those that were made. */
function commitNow(tx: Writing<Table>): void {
  try {
    tx.commit()
  } catch {
    // It has ended already; its requests tell why.
  }
}

/** The chain is not where this tab thought. */
class Moved extends Error {}

/** Another tab has taken the number, or the chain is another one. */
function hasMoved(error: unknown): boolean {
  const cause = (error as { cause?: unknown }).cause
  if (cause instanceof Moved) return true
  return cause instanceof DOMException && cause.name === 'ConstraintError'
}

async function storeNext(entry: NewEntry): Promise<OwnRow> {
  if (entry.draft) await draftAtRest(entry.draft)
  const link = await nextLink()
  const row = compose(entry, link)
  if (entry.prove) row.proof = await entry.prove(row.id)
  try {
    await write(tablesFor(entry), (tx) => store(tx, entry, link, row))
    linkTaken(link)
    noteMade(link.device, link.device_no)
    return row
  } catch (error) {
    forgetLink()
    if (!hasMoved(error)) throw error
    return storeNext(entry)
  }
}

/** One entry of this tab after the other: a later one must not be stored when the one before it was not (LG5). */
let turn: Promise<unknown> = Promise.resolve()

function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const mine = turn.then(work, work)
  turn = mine
  return mine
}

/**
 * Records an entry. Resolves when it is on disk; rejects with a StoreFailure, and then nothing of it is
 * stored, no number is used up and its draft is still there (LG14).
 */
export async function record(entry: NewEntry): Promise<BookEntry> {
  const row = await inTurn(() => storeNext(entry))
  const { id, build, text, device_no } = row
  const stored: BookEntry = { id, build, text, seq: null, device_no, sent: 'no', held: null }
  // Before whoever awaits the entry goes on, and not in the way of its being told.
  queueMicrotask(() => announce({ builds: [build], entries: [stored] }))
  return stored
}
