/**
 * Phones in one process, driven line by line: commands come in as JSON, what happened goes out as JSON.
 *
 * Everything runs within the handling of a command, in one order, until nobody can go on without the world.
 */
import { readSync, writeSync } from 'node:fs'
import { ACTS } from './acts.mjs'
import { clients } from './clients.mjs'
import { Clock } from './clock.mjs'
import { closeUnasked, toldElsewhere } from './disk.mjs'
import { Network } from './network.mjs'
import { Page } from './page.mjs'
import { Phone } from './phone.mjs'
import { nameWrites } from './purpose.mjs'
import { runUntilQuiet, watch } from './tasks.mjs'

const kinds = await clients()
let events = []
const report = (event) => events.push(event)
let network = new Network(report)
let phones = new Map()
let pages = new Map()
let saved = new Map()
let left = 0

watch(() => {
  for (const page of pages.values()) if (!page.dead && page.dooms.length) page.beforeTask()
})

process.on('unhandledRejection', (reason) => {
  if (toldElsewhere.has(reason)) return
  report({ e: 'unheard', words: `${reason?.stack ?? reason}`.slice(0, 800) })
})

function words(error) {
  return { name: error?.name, code: error?.code ?? null, message: `${error?.message ?? error}`.slice(0, 400) }
}

/** A page's act: what comes of it is told when it comes; a page that died in between tells nothing. */
function act({ page: name, act: what, words: given = [], tag }) {
  const page = pages.get(name)
  if (!page || page.dead) return
  const done = (told) => {
    if (!page.dead) report({ e: 'done', page: name, act: what, tag, ...told })
  }
  Promise.resolve()
    .then(() => ACTS[what](page.client, ...given))
    .then(
      (value) => done({ ok: true, value: value ?? null }),
      (error) => done({ ok: false, error: words(error) }),
    )
}

/** Lets time pass on a phone until something wants the world's answer; the rest is told as `left`. */
function pass({ phone: name, ms }) {
  const { clock } = phones.get(name)
  left = ms
  const before = events.length
  while (left > 0 && !events.slice(before).some(({ e }) => e === 'fetch')) {
    const due = clock.next(left)
    left = due?.left ?? 0
    due?.run()
    runUntilQuiet()
  }
}

function kill(phone, why) {
  for (const page of [...phone.pages]) page.die(why)
}

const COMMANDS = {
  now: ({ at }) => {
    Clock.world = at
  },
  reset: () => {
    for (const page of pages.values()) page.die('the story is over')
    runUntilQuiet()
    ;[phones, pages, saved, network] = [new Map(), new Map(), new Map(), new Network(report)]
    events = []
  },
  name_writes: ({ wish }) => nameWrites(wish ? kinds.code : null),
  phone: ({ phone, seed, packs = false }) => {
    const made = new Phone(phone, seed)
    made.packs = packs
    phones.set(phone, made)
  },
  open: ({ phone, page: name, client = 'today', mode = 'stand', dooms = [] }) => {
    const page = new Page(name, phones.get(phone), network, report)
    page.dooms = dooms
    pages.set(name, page)
    page.client = kinds[client](page.surroundings())
    act({ page: name, act: 'start', words: [mode], tag: 'start' })
  },
  call: act,
  kill: ({ page, why = 'killed' }) => pages.get(page)?.die(why),
  doom: ({ page, ...doom }) => pages.get(page)?.dooms.push(doom),
  spare: ({ page }) => {
    const spared = pages.get(page)
    if (spared) spared.dooms = []
  },
  hear: ({ page, type }) => pages.get(page)?.hear(type),
  answer: (told) => network.answer(told),
  fail: (told) => network.fail(told),
  pass,
  skew: ({ phone, ms }) => {
    phones.get(phone).clock.skew = ms
  },
  close_storage: ({ phone }) => {
    for (const page of phones.get(phone).pages) closeUnasked(page)
  },
  full: ({ phone, full }) => {
    phones.get(phone).full = full
  },
  save: ({ phone, as }) => saved.set(as, phones.get(phone).disk.copy()),
  load: ({ phone, from }) => {
    const to = phones.get(phone)
    kill(to, 'its storage was put back')
    runUntilQuiet()
    to.disk = saved.get(from).copy()
  },
  evict: ({ phone, witness }) => {
    const from = phones.get(phone)
    kill(from, 'its storage was cleared')
    runUntilQuiet()
    const { texts } = from.disk
    from.disk = new from.disk.constructor()
    if (witness) from.disk.texts = texts
  },
  /** Marks of entries and hashes of files that lie on each phone's disk, wherever they lie there. */
  inventory: ({ tag }) => {
    const found = Object.fromEntries([...phones].map(([name, phone]) => [name, phone.disk.inventory()]))
    report({ e: 'rows', tag, rows: found })
  },
  rows: ({ phone, table, tag }) => report({ e: 'rows', tag, rows: phones.get(phone).disk.rows(table) }),
}

function counted() {
  const counts = { commits: 0, witness: 0 }
  for (const page of pages.values()) {
    counts.commits += page.counts.commits
    counts.witness += page.counts.witness
    page.counts = { commits: 0, witness: 0 }
  }
  for (const [name, page] of pages) if (page.dead) pages.delete(name)
  return counts
}

function handle(commands) {
  events = []
  left = 0
  for (const command of commands) {
    COMMANDS[command.do](command)
    // Acts of one breath run side by side.
    if (command.do !== 'call') runUntilQuiet()
  }
  const tasks = runUntilQuiet()
  return { events, left, tasks, now: Clock.world, counts: counted() }
}

const CHUNK = Buffer.alloc(1 << 16)
const PAUSE = new Int32Array(new SharedArrayBuffer(4))
let waiting = Buffer.alloc(0)

/** The pipes are not of this process's making: one that is not ready says so instead of waiting. */
function patiently(work) {
  for (;;) {
    try {
      return work()
    } catch (error) {
      if (error.code !== 'EAGAIN') throw error
      Atomics.wait(PAUSE, 0, 0, 1)
    }
  }
}

function readMore() {
  const size = patiently(() => readSync(0, CHUNK, 0, CHUNK.length, null))
  waiting = Buffer.concat([waiting, CHUNK.subarray(0, size)])
  return size > 0
}

/** The next line; null at the end of the input. */
function line() {
  for (;;) {
    const end = waiting.indexOf(10)
    if (end >= 0) {
      const text = waiting.subarray(0, end).toString()
      waiting = waiting.subarray(end + 1)
      return text
    }
    if (!readMore()) return null
  }
}

function say(answer) {
  const bytes = Buffer.from(`${JSON.stringify(answer)}\n`)
  for (let sent = 0; sent < bytes.length; ) sent += patiently(() => writeSync(1, bytes, sent))
}

function answered(text) {
  try {
    return handle(JSON.parse(text))
  } catch (error) {
    return { fault: `${error?.stack ?? error}` }
  }
}

const nativeTurn = setTimeout

nativeTurn(() => {
  say({ ready: true })
  for (let text = line(); text !== null; text = line()) say(answered(text))
  process.exit(0)
}, 0)
