/**
 * The phones' disks: fake-indexeddb, with a hand on every commit.
 *
 * What a transaction has done counts from its commit on: a page that dies before leaves nothing of it, a page that
 * dies after never hears of it. The disk of a phone can be copied as it stands, since records are never changed in
 * place.
 */
import * as idb from '../../../webclient/node_modules/fake-indexeddb/build/esm/index.js'
import closeConnection from '../../../webclient/node_modules/fake-indexeddb/build/esm/lib/closeConnection.js'
import Database from '../../../webclient/node_modules/fake-indexeddb/build/esm/lib/Database.js'
import Index from '../../../webclient/node_modules/fake-indexeddb/build/esm/lib/Index.js'
import KeyGenerator from '../../../webclient/node_modules/fake-indexeddb/build/esm/lib/KeyGenerator.js'
import ObjectStore from '../../../webclient/node_modules/fake-indexeddb/build/esm/lib/ObjectStore.js'
import { purpose } from './purpose.mjs'

for (const [name, value] of Object.entries(idb))
  if (name.startsWith('IDB')) globalThis[name] = value

const { IDBDatabase, IDBFactory, IDBTransaction } = idb
/** An entry's mark in these stories; also one that waits to be entered with its picture. */
const MARK = /\bt-\d+\b/g

function isAtItsEnd(tx) {
  return (
    tx._state !== 'finished' && tx._requests.every(({ request }) => request.readyState === 'done')
  )
}

/** Ends a transaction without a word to its page; `undone`: as if it had never begun. */
function cutOff(tx, undone) {
  if (undone) for (const undo of tx._rollbackLog.reverse()) undo()
  tx._state = 'finished'
  tx._isCutOff = true
  const { transactions } = tx.db._rawDatabase
  if (transactions.includes(tx)) transactions.splice(transactions.indexOf(tx), 1)
}

const goOn = IDBTransaction.prototype._start

/**
 * Reasons of failed upgrades. The library `idb` makes a promise of each upgrade's end that nobody can reach; what
 * fails is told by the opening itself.
 */
export const toldElsewhere = new WeakSet()

function failed(tx, name) {
  tx._abort(name)
  if (tx.mode === 'versionchange') toldElsewhere.add(tx.error)
  return false
}

/** What the world may do to a commit; each returns false where the transaction must not go on by itself. */
const FATES = {
  go: () => true,
  before: (tx, page) => {
    page.die('killed before a commit')
    return false
  },
  after: (tx, page) => {
    // An upgrade goes on to its end by itself, else the next opening would wait for it for ever.
    tx._isOver = tx.mode === 'versionchange'
    if (!tx._isOver) cutOff(tx, false)
    page.die('killed after a commit')
    return tx._isOver
  },
  full: (tx) => failed(tx, 'QuotaExceededError'),
  trouble: (tx) => failed(tx, 'UnknownError'),
}

IDBTransaction.prototype._start = function start() {
  if (this._isCutOff) return undefined
  const page = this.db._page
  this._started = true
  if (page && this.mode !== 'readonly' && isAtItsEnd(this) && !FATES[page.fateOf(this)](this, page))
    return undefined
  return goOn.call(this)
}

const begin = IDBDatabase.prototype.transaction

IDBDatabase.prototype.transaction = function transaction(...words) {
  const tx = begin.apply(this, words)
  tx._purpose = purpose(tx)
  return tx
}

function cutConnection(connection) {
  const raw = connection._rawDatabase
  const open = (tx) => tx.db === connection && tx._state !== 'finished' && !tx._isOver
  for (const tx of raw.transactions.filter(open)) {
    if (tx.mode === 'versionchange') failed(tx, 'AbortError')
    else cutOff(tx, true)
  }
  connection._closePending = true
  connection._closed = true
  raw.connections = raw.connections.filter((other) => other !== connection)
  raw.processTransactions()
}

function copyRecords(from, to) {
  for (const record of from.records.getAllRecords()) to.records.put(record)
}

function copyIndex(index, store) {
  const made = new Index(store, index.name, index.keyPath, index.multiEntry, index.unique)
  made.initialized = true
  copyRecords(index.records, made.records)
  return made
}

function copyStore(store, database) {
  const made = new ObjectStore(database, store.name, store.keyPath, store.autoIncrement)
  if (store.keyGenerator) Object.assign(made.keyGenerator, new KeyGenerator(), store.keyGenerator)
  copyRecords(store.records, made.records)
  for (const [name, index] of store.rawIndexes) made.rawIndexes.set(name, copyIndex(index, made))
  return made
}

function copyDatabase(database) {
  const made = new Database(database.name, database.version)
  for (const [name, store] of database.rawObjectStores)
    made.rawObjectStores.set(name, copyStore(store, made))
  return made
}

/** One phone's disk: its databases and its small texts. */
export class Disk {
  factory = new IDBFactory()
  texts = new Map()

  /** The disk as it stands, without what is not committed: nobody may be writing. */
  copy() {
    const made = new Disk()
    for (const [name, database] of this.factory._databases) {
      if (database.version > 0) made.factory._databases.set(name, copyDatabase(database))
    }
    made.texts = new Map(this.texts)
    return made
  }

  /** Opens a database for a page: from then on its commits are in the world's hand. */
  open(page, name, version) {
    const request = this.factory.open(name, version)
    const own = (event) => {
      request.result._page = page
      page.connections.add(request.result)
      if (!page.dead) return
      // Nobody is left to hear of it.
      event.stopImmediatePropagation()
      cutConnection(request.result)
    }
    request.addEventListener('upgradeneeded', own)
    request.addEventListener('success', own)
    return request
  }

  inventory() {
    const marksIn = (values) => [...new Set(values.flatMap((value) => JSON.stringify(value).match(MARK) ?? []))]
    const written = ['own', 'carried'].flatMap((table) => this.rows(table).map(({ value }) => value))
    const numberOf = (text) => `${/"device":"[^"]*"/.exec(text)} ${/"device_no":\d+/.exec(text)}`
    const mine = new Map(written.map(({ text }) => [numberOf(text), text]))
    // What a twin made under a number that this one has used too has no place beside it (a known weakness).
    const pulled = ['chunks', 'old_chunks']
      .flatMap((table) => this.rows(table).flatMap(({ value }) => value.entries))
      .filter(({ text }) => (mine.get(numberOf(text)) ?? text) === text)
    const files = ['blobs', 'photos'].flatMap((table) => this.rows(table).map(({ key }) => key))
    return { marks: marksIn([...written, ...pulled]), written: marksIn(written), files }
  }

  /** Everything in a table, oldest key first. */
  rows(table) {
    const store = this.factory._databases.get('standbook')?.rawObjectStores.get(table)
    return store ? [...store.records.values()].map(({ key, value }) => ({ key, value })) : []
  }
}

/** The page is gone: what it had not committed never happened. */
export function letGoOf(page) {
  for (const connection of page.connections) if (!connection._closed) cutConnection(connection)
}

/** The browser closes the page's storage by itself, as it does when its disk fails or its data is looked after. */
export function closeUnasked(page) {
  for (const connection of page.connections)
    if (!connection._closed) closeConnection(connection, true)
}

/** A request that nobody will ever answer. */
export function silence() {
  return new idb.IDBOpenDBRequest()
}
