/** This device's own entries on their way to the shop. A row is marked, never removed. */
import { answeredIn, inState, putAnswered, sentOf, takeBackFrom } from './answered.ts'
import { touch } from './builds.ts'
import { announce } from './changes.ts'
import { type Reading, read, type Writing, write } from './connection.ts'
import { offeringIn } from './offering.ts'
import type { HeldReason, OwnRow, PhotoRow, Sent } from './schema.ts'

export interface Counts {
  unsent: number
  sent: number
  safe: number
  held: number
  /** Held back once, and a person has dealt with it. */
  dealt: number
  blobs: number
  /** Photos on their way. */
  photos: number
  /** Photos that the shop does not take; they stay here. */
  photosRefused: number
  /** Entries of other devices that no pull has shown yet, without those held back. */
  carried: number
  /** Those of them that the shop keeps back. */
  carriedHeld: number
}

/** What the server said of one own entry. */
export interface Mark {
  device_no: number
  sent: Extract<Sent, 'sent' | 'held'>
  held: HeldReason | null
  /** The place in the book that the server named; null where it named none. */
  seq: number | null
}

/** Own entries from number `from` on, at most `limit`, in their order. */
export function ownFrom(from: number, limit: number): Promise<OwnRow[]> {
  return read(['own'], (tx) => tx.objectStore('own').getAll(IDBKeyRange.lowerBound(from), limit))
}

/** The lowest number that the server has not answered yet; null when there is none. */
export async function firstUnsent(): Promise<number | null> {
  const key = await read(['own', 'device'], async (tx) => {
    const beyond = inState('no', (await answeredIn(tx)) + 1)
    return tx.objectStore('own').index('sent_no').getKey(beyond)
  })
  return key ?? null
}

/** Own entries from the first one after `number` that the server has not answered, at most `limit`, in their order. */
export function unsentAfter(number: number, limit: number): Promise<OwnRow[]> {
  return read(['own', 'device'], async (tx) => {
    // What follows is unsent, as a rule: all is asked at once, and looked for only where it is not.
    const next = tx.objectStore('own').getAll(IDBKeyRange.lowerBound(number, true), limit)
    const [answered, rows] = await Promise.all([answeredIn(tx), next])
    if (!rows[0] || sentOf(rows[0], answered) === 'no') return rows
    const beyond = inState('no', Math.max(number, answered) + 1)
    const first = await tx.objectStore('own').index('sent_no').getKey(beyond)
    if (first === undefined) return []
    return tx.objectStore('own').getAll(IDBKeyRange.lowerBound(first), limit)
  })
}

/** The lowest number that no pull has shown yet (LG7), answered or not; null when there is none. */
export function firstUnshown(): Promise<number | null> {
  return read(['own'], async (tx) => {
    const index = tx.objectStore('own').index('sent_no')
    const [unsent, sent] = await Promise.all([
      index.getKey(inState('no')),
      index.getKey(inState('sent')),
    ])
    const known = [unsent, sent].filter((number) => number !== undefined)
    return known.length ? Math.min(...known) : null
  })
}

type Counting = Reading<'own' | 'blobs' | 'photos' | 'carried' | 'device'>

/** How many own entries are in each state that a few are in. */
async function few(tx: Counting): Promise<Record<Exclude<Sent, 'safe'>, number>> {
  const answered = await answeredIn(tx)
  const of = (sent: Sent, from?: number, to?: number) =>
    tx
      .objectStore('own')
      .index('sent_no')
      .count(inState(sent, from, to))
  const [no, told, sent, held, dealt] = await Promise.all([
    of('no', answered + 1),
    of('no', 0, answered),
    of('sent'),
    of('held'),
    of('dealt'),
  ])
  return { no, sent: told + sent, held, dealt }
}

/** Numbers have no gap, so the last one is the count: counting what is safe would read all of a long life. */
async function madeIn(tx: Counting): Promise<number> {
  const last = await tx.objectStore('own').openKeyCursor(null, 'prev')
  return last?.key ?? 0
}

async function countsIn(tx: Counting): Promise<Counts> {
  const carriedAs = (sent: Sent) => tx.objectStore('carried').index('sent').count(sent)
  const photosAs = (sent: PhotoRow['sent']) => tx.objectStore('photos').index('sent').count(sent)
  const [own, made, offering, blobs, photos, photosRefused, waiting, told, carriedHeld] =
    await Promise.all([
      few(tx),
      madeIn(tx),
      offeringIn(tx),
      tx.objectStore('blobs').index('uploaded').count(0),
      photosAs(0),
      photosAs(2),
      carriedAs('no'),
      carriedAs('sent'),
      carriedAs('held'),
    ])
  const { no, sent, held, dealt } = own
  // What a restored shop has still to be offered is safe no more, though its rows say so yet.
  const unsent = offering ? made - held - dealt - sent : no
  const safe = made - unsent - sent - held - dealt
  const carried = waiting + told
  return { unsent, sent, safe, held, dealt, blobs, photos, photosRefused, carried, carriedHeld }
}

export function counts(): Promise<Counts> {
  return read(['own', 'blobs', 'photos', 'carried', 'device'], countsIn)
}

/** The hash that the server's book gives this device's last entry in it; null while it is not known. */
export function lastOwnHash(): Promise<string | null> {
  return read(['own'], async (tx) => {
    let at = await tx.objectStore('own').openCursor(null, 'prev')
    while (at && (at.value.sent === 'dealt' || at.value.sent === 'held')) at = await at.continue()
    return at?.value.hash ?? null
  })
}

/** The highest number that this device has given out. */
export async function lastOwnNumber(): Promise<number> {
  const last = await read(['own'], (tx) => tx.objectStore('own').openKeyCursor(null, 'prev'))
  return last?.key ?? 0
}

/** True when `mark` tells something new: an entry seen in a pull is safe whatever an answer says. */
function news(sent: Sent, mark: Mark): boolean {
  return sent !== 'safe' && sent !== 'dealt' && sent !== mark.sent
}

type Marking = Writing<'own' | 'builds' | 'device'>

/**
 * The number up to which the shop has answered now, when it was `before`. Marks that leave something unsent before them
 * tell nothing.
 */
async function answeredNow(tx: Marking, before: number, marks: Mark[]): Promise<number> {
  const first = marks[0]?.device_no ?? 0
  if (first > before + 1) {
    const between = inState('no', before + 1, first - 1)
    if (await tx.objectStore('own').index('sent_no').getKey(between)) return before
  }
  const gap = marks.findIndex((mark, at) => mark.device_no !== first + at)
  return Math.max(before, first - 1 + (gap === -1 ? marks.length : gap))
}

/** Only what is not said by the number alone is written into its row. */
async function markRow(tx: Marking, row: OwnRow, mark: Mark): Promise<void> {
  if (mark.sent === 'sent' && row.sent === 'no') return
  await tx.objectStore('own').put({ ...row, sent: mark.sent, held: mark.held })
}

/** Rows that these marks speak of, each with its own. */
async function marked(tx: Marking, marks: Mark[]): Promise<[OwnRow, Mark][]> {
  const [first, last] = [marks[0], marks.at(-1)]
  if (!first || !last) return []
  const range = IDBKeyRange.bound(first.device_no, last.device_no)
  const rows = await tx.objectStore('own').getAll(range)
  const of = new Map(marks.map((mark) => [mark.device_no, mark]))
  return rows.flatMap((row) => {
    const mark = of.get(row.device_no)
    return mark ? [[row, mark] as [OwnRow, Mark]] : []
  })
}

/** How many own entries of these numbers say that they wait. */
async function waiting(tx: Marking, marks: Mark[]): Promise<number> {
  const [first, last] = [marks[0], marks.at(-1)]
  if (!first || !last) return 0
  const all = inState('no', first.device_no, last.device_no)
  return tx.objectStore('own').index('sent_no').count(all)
}

/** Whether these are just the next numbers after `before`, and the shop has them all. */
function areNext(before: number, marks: Mark[]): boolean {
  return marks.every(({ sent, device_no }, at) => sent === 'sent' && device_no === before + 1 + at)
}

/** Marks what tells something new; gives the build of each of it. */
async function noteIn(tx: Marking, marks: Mark[], rows: OwnRow[]): Promise<string[]> {
  const [before, wait] = await Promise.all([answeredIn(tx), waiting(tx, marks)])
  // Where each of them waits, and nothing before them, no row tells anything more than the number.
  if (rows.length === marks.length && wait === marks.length && areNext(before, marks)) {
    await putAnswered(tx, before + marks.length)
    return rows.map(({ build }) => build)
  }
  const upto = await answeredNow(tx, before, marks)
  const told = (await marked(tx, marks)).filter(
    ([row, mark]) => row.device_no <= upto && news(sentOf(row, before), mark),
  )
  await Promise.all(told.map(([row, mark]) => markRow(tx, row, mark)))
  if (told.length) await putAnswered(tx, upto)
  return told.map(([row]) => row.build)
}

/**
 * Notes the server's answers, which are in their order. Returns how many of them told something new. `rows`: those that
 * were sent, where they are at hand; reading them once more takes a slow phone longer than all the rest.
 */
export async function markAnswered(marks: Mark[], rows: OwnRow[] = []): Promise<number> {
  if (!marks.length) return 0
  const builds = await write(['own', 'builds', 'device'], async (tx) => {
    const found = await noteIn(tx, marks, rows)
    await touch(tx, new Set(found))
    return found
  })
  if (builds.length) announce({ builds: [...new Set(builds)] })
  return builds.length
}

/**
 * The shop wants this number next: what it was said to have from there on it has no more, and gets again. A phone that
 * has not pulled yet knows of no epoch that could tell it of a restored book (LG9).
 */
export async function offerFrom(number: number): Promise<number> {
  const builds = await write(['own', 'builds', 'device'], async (tx) => {
    const answered = await answeredIn(tx)
    const rows = await tx.objectStore('own').getAll(IDBKeyRange.lowerBound(number))
    const gone = rows.filter((row) => sentOf(row, answered) !== 'no')
    const unsent = { sent: 'no', held: null, seq: null, hash: null } as const
    for (const row of gone) await tx.objectStore('own').put({ ...row, ...unsent })
    await takeBackFrom(tx, number)
    await touch(tx, new Set(gone.map(({ build }) => build)))
    return gone.map(({ build }) => build)
  })
  if (builds.length) announce({ builds: [...new Set(builds)] })
  return builds.length
}

/** People have dealt with held-back entries of these numbers, here or at the desk: they leave the list (LG6). */
export async function markDealt(numbers: number[]): Promise<number> {
  const builds = await write(['own', 'builds'], async (tx) => {
    const found: string[] = []
    for (const number of numbers) {
      const row = await tx.objectStore('own').get(number)
      if (row?.sent !== 'held') continue
      await tx.objectStore('own').put({ ...row, sent: 'dealt' })
      found.push(row.build)
    }
    await touch(tx, new Set(found))
    return found
  })
  if (builds.length) announce({ builds: [...new Set(builds)] })
  return builds.length
}
