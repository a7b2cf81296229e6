/**
 * The tables on the device and how each version of them came from the one before.
 *
 * Tables only ever gain (LG12): a later version adds stores and indexes and leaves these as they are.
 */
import type { DBSchema, IDBPDatabase, IDBPTransaction } from 'idb'
import { inState } from './answered.ts'

export const NAME = 'standbook'
export const VERSION = 2
/** Entries in one stored piece of pulled history. Row by row costs five times as much. */
export const CHUNK = 200
/** More pieces than any book has: histories that were put aside one after the other do not share keys. */
export const HISTORY = 2 ** 24

/**
 * Where an own entry is on its way: on this device (or answered as well, see `answered.ts`), answered by the server, seen in a pull, kept back, kept back
 * and dealt with by a person.
 */
export type Sent = 'no' | 'sent' | 'safe' | 'held' | 'dealt'

export interface HeldReason {
  code: string
  message: string
}

/**
 * That `person`, who made the entry, gave the own PIN for it: sealed to the shop's key, good for this entry alone, and
 * never inside it.
 */
export interface EntryProof {
  person: string
  sealed: string
}

/** An entry that this device made. Kept for ever: a restored server may ask for it again (LG9). */
export interface OwnRow {
  device_no: number
  /** Who this browser was when it was made; rows of the first version do not say and are of who it is. */
  device?: string
  id: string
  build: string
  text: string
  sent: Sent
  held: HeldReason | null
  /** The server's, once a pull has shown them (LG7). */
  seq: number | null
  hash: string | null
  proof?: EntryProof
}

/**
 * An entry of another device that this one offers to the shop: what it was itself before, what came in a file, what a
 * restored server has lost. It goes when a pull has shown it. `device` is its lane: whose it is, see `lanes.ts`.
 */
export interface CarriedRow extends OwnRow {
  device: string
}

/** An entry as the server's book has it. */
export interface HistoryEntry {
  seq: number
  received_at: string
  prev: string
  hash: string
  id: string
  build: string
  text: string
}

/** Entries `piece * CHUNK + 1` to at most `(piece + 1) * CHUNK` of the shop's book. */
export interface Chunk {
  piece: number
  size: number
  builds: string[]
  entries: HistoryEntry[]
}

/** What this browser was before: its storage was cleared, or its identity was found on another phone too. */
export interface Before {
  device: string
  /** The highest number that it gave out as that. */
  made: number
  why: 'cleared' | 'copied'
  /** How many of them the shop has; null until it was asked. */
  at_shop: number | null
  /** A person has read what was lost. */
  told: boolean
}

export interface Identity {
  device: string
  before?: Before
}

/** The key of one identity; see `devicekey.ts`. */
export interface KeyRow {
  device: string
  publicKey: string
  privateKey: CryptoKey
}

/** How much of the shop's book is here: a seq and the epoch it belongs to (LG9). */
export interface Cursor {
  epoch: string | null
  after: number
  hash: string | null
}

/** Own entries up to this number have been offered to a restored shop; the rest follows. */
export interface Offering {
  after: number
}

/** The shop has answered own entries up to this number. */
export interface Answered {
  upto: number
}

export interface BlobRow {
  sha256: string
  text: string
  /** 1: the server has it. A number, because an index takes no boolean. */
  uploaded: 0 | 1
}

/** What is noted of a photo. Its bytes lie apart, so that a mark does not write them once more. */
export interface PhotoNote {
  sha256: string
  type: string
  /**
   * 0: to be sent; 1: the shop has it; 2: the shop does not take it; 3: nor need it, since it was struck out. A number,
   * because an index takes no boolean.
   */
  sent: 0 | 1 | 2 | 3
}

/** A photo that this device took, or carries for another one. */
export interface PhotoRow extends PhotoNote {
  bytes: ArrayBuffer
}

/** Where a photo belongs. */
export interface PhotoPlace {
  build: string
  step: string | null
  place: string | null
  caption: string
  person: string
}

/** What came from the camera, before it was made smaller: on disk at once, for the page may not live long. */
export interface RawPhoto {
  key?: number
  bytes: ArrayBuffer
  type: string
  where: PhotoPlace
}

export interface Draft {
  key: string
  text: string
}

/** `mark` is another one after every pull and answer that touched the build; see `markOf`. */
export interface BuildRow {
  build: string
  mark: string
}

export interface Summary {
  build: string
  mark: string
  trade_version: string
  state: unknown
}

export interface Tables extends DBSchema {
  own: {
    key: number
    value: OwnRow
    indexes: { sent_no: [Sent, number]; build_sent: [string, Sent] }
  }
  chunks: { key: number; value: Chunk; indexes: { builds: string; size: number } }
  device: { key: string; value: Identity | Cursor | Offering | Answered | KeyRow }
  blobs: { key: string; value: BlobRow; indexes: { uploaded: number } }
  carried: {
    key: [string, number]
    value: CarriedRow
    indexes: { sent: Sent; build_sent: [string, Sent]; device_sent: [string, Sent] }
  }
  old_chunks: { key: number; value: Chunk }
  photos: { key: string; value: PhotoNote; indexes: { sent: number } }
  photo_bytes: { key: string; value: ArrayBuffer }
  raw_photos: { key: number; value: RawPhoto }
  drafts: { key: string; value: Draft }
  facts: { key: string; value: unknown }
  builds: { key: string; value: BuildRow }
  summaries: { key: string; value: Summary }
}

export type TableName =
  | 'own'
  | 'chunks'
  | 'device'
  | 'blobs'
  | 'carried'
  | 'old_chunks'
  | 'photos'
  | 'photo_bytes'
  | 'raw_photos'
  | 'drafts'
  | 'facts'
  | 'builds'
  | 'summaries'

type Upgrading = IDBPTransaction<Tables, TableName[], 'versionchange'>

function first(db: IDBPDatabase<Tables>): void {
  const own = db.createObjectStore('own', { keyPath: 'device_no' })
  own.createIndex('build_sent', ['build', 'sent'])
  const chunks = db.createObjectStore('chunks', { keyPath: 'piece' })
  chunks.createIndex('builds', 'builds', { multiEntry: true })
  chunks.createIndex('size', 'size')
  db.createObjectStore('device')
  db.createObjectStore('blobs', { keyPath: 'sha256' }).createIndex('uploaded', 'uploaded')
  db.createObjectStore('drafts', { keyPath: 'key' })
  db.createObjectStore('facts')
  db.createObjectStore('builds', { keyPath: 'build' })
  db.createObjectStore('summaries', { keyPath: 'build' })
}

function second(db: IDBPDatabase<Tables>, tx: Upgrading): void {
  tx.objectStore('own').createIndex('sent_no', ['sent', 'device_no'])
  const carried = db.createObjectStore('carried', { keyPath: ['device', 'device_no'] })
  carried.createIndex('sent', 'sent')
  carried.createIndex('build_sent', ['build', 'sent'])
  carried.createIndex('device_sent', ['device', 'sent'])
  db.createObjectStore('old_chunks', { keyPath: 'piece' })
  db.createObjectStore('photos', { keyPath: 'sha256' }).createIndex('sent', 'sent')
  db.createObjectStore('photo_bytes')
  db.createObjectStore('raw_photos', { keyPath: 'key', autoIncrement: true })
}

/**
 * The first version kept back by itself what the book had other words for, and believed a restored server to have its
 * texts still. Both are offered again: what the shop has already it says.
 */
async function offerAgain(tx: Upgrading): Promise<void> {
  for (const row of await tx.objectStore('own').index('sent_no').getAll(inState('held'))) {
    if (row.held?.code !== 'differs') continue
    await tx.objectStore('own').put({ ...row, sent: 'no', held: null })
  }
  for (const row of await tx.objectStore('blobs').index('uploaded').getAll(1)) {
    await tx.objectStore('blobs').put({ ...row, uploaded: 0 })
  }
}

/** Brings the tables from `old` to the present version, step by step. */
export async function upgrade(
  db: IDBPDatabase<Tables>,
  old: number,
  _wanted: number | null,
  tx: Upgrading,
): Promise<void> {
  if (old < 1) first(db)
  if (old < 2) second(db, tx)
  // What fails in here ends the upgrade, and the opening tells of that.
  if (old === 1) await offerAgain(tx).catch(() => undefined)
}
