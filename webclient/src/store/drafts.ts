/**
 * What is half typed, per field: every change is on disk (LG14), so that half a number survives a call,
 * a dead battery and a closed page.
 */
import { read, write } from './connection.ts'

interface Pending {
  text: string
  saved: Promise<void>
}

/** One write under way and one waiting per field: a fast thumb waits for two writes at most. */
const running = new Map<string, Promise<void>>()
const waiting = new Map<string, Pending>()

function put(key: string, text: string): Promise<void> {
  return write(['drafts'], async (tx) => {
    await tx.objectStore('drafts').put({ key, text })
  })
}

function run(key: string, text: string): Promise<void> {
  const saved = put(key, text).finally(() => {
    if (running.get(key) === saved) running.delete(key)
  })
  running.set(key, saved)
  return saved
}

function queue(key: string, text: string, before: Promise<void>): Promise<void> {
  const known = waiting.get(key)
  if (known) {
    known.text = text
    return known.saved
  }
  const next = () => {
    const pending = waiting.get(key)
    waiting.delete(key)
    return pending ? run(key, pending.text) : Promise.resolve()
  }
  const saved = before.then(next, next)
  waiting.set(key, { text, saved })
  return saved
}

/** Saves a field as it stands. Resolves when this text, or a later one of the field, is on disk. */
function save(key: string, text: string): Promise<void> {
  const before = running.get(key)
  return before ? queue(key, text, before) : run(key, text)
}

/** The field as it was left; null when nothing is half typed. */
async function load(key: string): Promise<string | null> {
  const draft = await read(['drafts'], (tx) => tx.objectStore('drafts').get(key))
  return draft?.text ?? null
}

/**
 * Resolves when no save of the field is under way: whoever deletes the draft next deletes the last of it. A save
 * that failed has told its own caller.
 */
export async function draftAtRest(key: string): Promise<void> {
  while (running.has(key) || waiting.has(key)) {
    const last = waiting.get(key)?.saved ?? running.get(key)
    await last?.catch(() => undefined)
  }
}

/** Forgets a field that was cleared on purpose. */
async function drop(key: string): Promise<void> {
  await draftAtRest(key)
  await write(['drafts'], (tx) => tx.objectStore('drafts').delete(key))
}

/** Keys of all half-typed fields that begin with `prefix`, such as a build's id. */
function keys(prefix = ''): Promise<string[]> {
  const range = IDBKeyRange.bound(prefix, `${prefix}\uffff`)
  return read(['drafts'], (tx) => tx.objectStore('drafts').getAllKeys(range))
}

export const draft = { save, load, drop, keys }
