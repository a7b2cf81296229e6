/**
 * The one connection to the device's storage: opened when first needed, opened again after a loss.
 *
 * LG14: writes are strict (on disk, not in the operating system's memory), settle on `complete` and
 * reject on `abort`.
 */
import { signal } from '@preact/signals'
import { type IDBPDatabase, type IDBPTransaction, openDB } from 'idb'
import { StoreFailure, toFailure } from './failure.ts'
import { NAME, type TableName, type Tables, upgrade, VERSION } from './schema.ts'

/** What the storage has to tell the person: another tab must be closed, or this one reloaded. */
export const storeNotice = signal<StoreFailure | null>(null)

/** A tab that holds an older version gets this long to close; then the caller hears of it. */
const BLOCKED_MS = 5000
const NEVER = new Promise<never>(() => {})
const STRICT: IDBTransactionOptions = { durability: 'strict' }

export type Writing<S extends TableName> = IDBPTransaction<Tables, S[], 'readwrite'>
export type Reading<S extends TableName> = IDBPTransaction<Tables, S[], 'readonly'>

let opening: Promise<IDBPDatabase<Tables>> | null = null
/** The open connection: taken as it is, since a wait for it would stand between a tap and the disk. */
let live: IDBPDatabase<Tables> | null = null
let opened = 0

/** Counts openings: what was read through an earlier one may be of tables that are gone. */
export function connectionNo(): number {
  return opened
}

function forget(): void {
  opening = null
  live = null
}

function stepAside(event: IDBVersionChangeEvent): void {
  // Closing lets a newer tab go on; transactions under way are finished first.
  ;(event.target as IDBDatabase).close()
  forget()
  if (event.newVersion !== null) storeNotice.value = new StoreFailure('newer_version')
}

async function open(): Promise<IDBPDatabase<Tables>> {
  if (typeof indexedDB === 'undefined') throw new StoreFailure('storage_unavailable')
  const db = await openDB<Tables>(NAME, VERSION, {
    upgrade,
    blocked: () => {
      storeNotice.value = new StoreFailure('storage_blocked')
    },
    blocking: (_current, _wanted, event) => stepAside(event as IDBVersionChangeEvent),
    terminated: forget,
  })
  storeNotice.value = null
  opened += 1
  live = db
  return db
}

function rememberFailure(error: unknown): never {
  forget()
  const failure = toFailure(error)
  storeNotice.value = failure
  throw failure
}

function orBlocked<T>(work: Promise<T>): Promise<T> {
  let timer: ReturnType<typeof setTimeout>
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new StoreFailure('storage_blocked')), BLOCKED_MS)
  })
  return Promise.race([work, late]).finally(() => clearTimeout(timer))
}

function database(): Promise<IDBPDatabase<Tables>> {
  opening ??= open().catch(rememberFailure)
  return orBlocked(opening)
}

/** Starts a transaction; a connection that died unnoticed is opened once more. */
async function begin<S extends TableName, M extends 'readonly' | 'readwrite'>(
  stores: S[],
  mode: M,
): Promise<IDBPTransaction<Tables, S[], M>> {
  const db = live ?? (await database())
  try {
    return db.transaction(stores, mode, STRICT)
  } catch (error) {
    if ((error as DOMException).name !== 'InvalidStateError') throw toFailure(error)
    forget()
    return (await database()).transaction(stores, mode, STRICT)
  }
}

function abort(tx: { abort(): void }): void {
  try {
    tx.abort()
  } catch {
    // It has already ended by itself; the reason arrives through `done`.
  }
}

function worst(thrown: unknown, aborted: unknown): StoreFailure {
  if (thrown instanceof StoreFailure) return thrown
  const failure = toFailure(aborted ?? thrown)
  return failure.code === 'not_stored' && thrown ? toFailure(thrown) : failure
}

async function settle<T>(
  tx: { done: Promise<void>; abort(): void },
  work: () => Promise<T>,
): Promise<T> {
  const ended = tx.done.then(
    () => null,
    (error: unknown) => ({ error }),
  )
  // Chromium, out of room, may abort without ever answering the requests that were made.
  const cut = ended.then((aborted) => (aborted ? Promise.reject(aborted.error) : NEVER))
  try {
    const result = await Promise.race([work(), cut])
    const aborted = await ended
    if (aborted) throw worst(null, aborted.error)
    return result
  } catch (error) {
    abort(tx)
    const aborted = await ended
    throw worst(error, aborted?.error)
  }
}

/** Runs `work` in one strict transaction; resolves when it is on disk, rejects with a StoreFailure. */
export async function write<S extends TableName, T>(
  stores: S[],
  work: (tx: Writing<S>) => Promise<T>,
): Promise<T> {
  const tx = await begin(stores, 'readwrite')
  return settle(tx, () => work(tx))
}

/** Runs `work` over one consistent view of the tables. */
export async function read<S extends TableName, T>(
  stores: S[],
  work: (tx: Reading<S>) => Promise<T>,
): Promise<T> {
  const tx = await begin(stores, 'readonly')
  return settle(tx, () => work(tx))
}

/** Closes the connection; the next use opens it again. */
export async function disconnect(): Promise<void> {
  const db = await opening?.catch(() => null)
  forget()
  db?.close()
}
