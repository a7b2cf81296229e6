/** One tab: a copy of the client's modules of its own over the phone's disk, and what the world does to it. */
import { createHash } from 'node:crypto'
import { cryptoFrom, mathFrom } from './chance.mjs'
import { dateOf } from './clock.mjs'
import { letGoOf, silence } from './disk.mjs'
import { Packer } from './packer.mjs'
import { CAMERA } from './pictures.mjs'
import { Reply } from './reply.mjs'

/** Thrown into a page that is no more, so that it does nothing further. */
class Gone extends Error {}

function digest(data) {
  const bytes = ArrayBuffer.isView(data) ? new Uint8Array(data.buffer, data.byteOffset, data.byteLength) : new Uint8Array(data)
  const made = createHash('sha256').update(bytes).digest()
  return made.buffer.slice(made.byteOffset, made.byteOffset + made.byteLength)
}

export class Page {
  connections = new Set()
  listeners = []
  dead = false
  /** What shall happen at a coming write or task: [{on, after, how, purpose}]. */
  dooms = []
  counts = { commits: 0, witness: 0 }

  constructor(name, phone, network, report) {
    this.name = name
    this.phone = phone
    this.network = network
    this.report = report
    phone.pages.add(this)
  }

  die(why) {
    if (this.dead) return
    this.dead = true
    letGoOf(this)
    this.phone.clock.forget(this)
    this.phone.locks.release(this)
    this.phone.pages.delete(this)
    for (const channel of this.phone.channels) if (channel.page === this) this.phone.channels.delete(channel)
    this.network.forget(this)
    this.report({ e: 'killed', page: this.name, why })
  }

  #doomed(on, purpose) {
    const wanted = (doom) => doom.on === on && (!doom.purpose || doom.purpose === purpose)
    const doom = this.dooms.find(wanted)
    if (!doom) return null
    if (doom.after > 0) {
      doom.after -= 1
      return null
    }
    this.dooms = this.dooms.filter((other) => other !== doom)
    this.report({ e: 'doomed', page: this.name, on, how: doom.how, purpose })
    return doom.how
  }

  /** What becomes of a commit. */
  fateOf(tx) {
    this.counts.commits += 1
    if (tx._purpose) this.report({ e: 'write', page: this.name, purpose: tx._purpose, tables: [...tx._scope].sort() })
    const how = this.#doomed('commit', tx._purpose)
    return how ?? (this.phone.full && tx._rollbackLog.length > 0 ? 'full' : 'go')
  }

  beforeTask() {
    if (this.#doomed('task')) this.die('killed between two steps')
  }

  /** A text beside the database, written at once. */
  #keepText(write) {
    if (this.dead) throw new Gone()
    this.counts.witness += 1
    const how = this.#doomed('witness')
    if (how === 'full' || this.phone.full) throw new DOMException('no room', 'QuotaExceededError')
    if (how === 'before') this.die('killed before a text')
    if (this.dead) throw new Gone()
    write()
    if (how === 'after') this.die('killed after a text')
    if (this.dead) throw new Gone()
  }

  #storage() {
    const { texts } = this.phone.disk
    return {
      getItem: (key) => texts.get(key) ?? null,
      setItem: (key, text) => this.#keepText(() => texts.set(key, String(text))),
      removeItem: (key) => this.#keepText(() => texts.delete(key)),
    }
  }

  #channel() {
    const page = this
    return class BroadcastChannel {
      listeners = []
      page = page

      constructor(name) {
        this.name = name
        page.phone.channels.add(this)
      }

      addEventListener(_type, listener) {
        this.listeners.push(listener)
      }

      postMessage(data) {
        if (!page.dead) page.phone.tell(this, data)
      }

      close() {
        page.phone.channels.delete(this)
      }
    }
  }

  #database() {
    return {
      open: (name, version) => (this.dead ? silence() : this.phone.disk.open(this, name, version)),
      deleteDatabase: (name) => (this.dead ? silence() : this.phone.disk.factory.deleteDatabase(name)),
      cmp: (a, b) => this.phone.disk.factory.cmp(a, b),
    }
  }

  #timers() {
    const { clock } = this.phone
    const set = (task, ms, ...words) => (this.dead ? 0 : clock.set(this, task, ms, ...words))
    return { setTimeout: set, clearTimeout: (no) => clock.clear(no) }
  }

  #browser() {
    const { phone } = this
    const storage = {
      persist: async () => phone.persisted,
      persisted: async () => phone.persisted,
      estimate: async () => ({ usage: 1, quota: 1e9 }),
    }
    return { locks: phone.locks.seenBy(this), storage, onLine: true, userAgent: 'a phone' }
  }

  /** What the client's code finds around itself. */
  surroundings() {
    const { phone } = this
    const page = {
      ...this.#timers(),
      indexedDB: this.#database(),
      localStorage: this.#storage(),
      navigator: this.#browser(),
      BroadcastChannel: this.#channel(),
      Date: dateOf(phone.clock),
      performance: { now: () => phone.clock.elapsed },
      Math: mathFrom(phone.next),
      crypto: cryptoFrom(phone.next, digest),
      fetch: (url, init) => (this.dead ? new Promise(() => {}) : this.network.ask(this, url, init)),
      Response: Reply,
      ...CAMERA,
      CompressionStream: phone.packs ? Packer : undefined,
      addEventListener: (type, listener) => this.listeners.push({ type, listener }),
    }
    return Object.assign(page, { globalThis: page, self: page, window: page })
  }

  hear(type) {
    for (const one of this.listeners) if (one.type === type) one.listener({ type })
  }
}
