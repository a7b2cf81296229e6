/**
 * The tables on the device and how each version of them came from the one before.
 *
 * Tables only ever gain (LG12): a later version adds stores and indexes and leaves these as they are.
 */
import type { DBSchema, IDBPDatabase } from 'idb'

export const NAME = 'standbook'
export const VERSION = 1
/** Entries in one stored piece of pulled history. Row by row costs five times as much. */
export const CHUNK = 200

/** Where an own entry is on its way: on this device, answered by the server, seen in a pull, kept back. */
export type Sent = 'no' | 'sent' | 'safe' | 'held'

export interface HeldReason {
  code: string
  message: string
}

/** An entry that this device made. Kept for ever: a restored server may ask for it again (LG9). */
export interface OwnRow {
  device_no: number
  id: string
  build: string
  text: string
  sent: Sent
  held: HeldReason | null
  /** The server's, once a pull has shown them (LG7). */
  seq: number | null
  hash: string | null
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

export interface Identity {
  device: string
}

/** How much of the shop's book is here: a seq and the epoch it belongs to (LG9). */
export interface Cursor {
  epoch: string | null
  after: number
  hash: string | null
}

export interface BlobRow {
  sha256: string
  text: string
  /** 1: the server has it. A number, because an index takes no boolean. */
  uploaded: 0 | 1
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
    indexes: { sent: Sent; build_sent: [string, Sent] }
  }
  chunks: { key: number; value: Chunk; indexes: { builds: string; size: number } }
  device: { key: string; value: Identity | Cursor }
  blobs: { key: string; value: BlobRow; indexes: { uploaded: number } }
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
  | 'drafts'
  | 'facts'
  | 'builds'
  | 'summaries'

function first(db: IDBPDatabase<Tables>): void {
  const own = db.createObjectStore('own', { keyPath: 'device_no' })
  own.createIndex('sent', 'sent')
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

/** Brings the tables from `old` to the present version, step by step. */
export function upgrade(db: IDBPDatabase<Tables>, old: number): void {
  if (old < 1) first(db)
}
