/**
 * A gap planted into the book a thousand times: into what the phone has pulled, and into what a lying shop hands out.
 * seq has no gaps, so the phone finds each one: it pulls the book anew, or says that it does not come through (LG7).
 */
import { openDB } from 'idb'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import type { Chunk, Cursor } from '../store/schema.ts'
import { BUILD, freshBrowser, openSyncTab } from '../testing/device.ts'
import { columnsOf, FakeShop } from '../testing/shop.ts'
import type { PulledEntry } from './wire.ts'

const TRIALS = 1000

/** The same chance for the same seed on every machine. */
function chanceOf(seed: number): (below: number) => number {
  let at = seed
  return (below) => {
    at = (at + 0x6d2b79f5) | 0
    let t = Math.imul(at ^ (at >>> 15), at | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) % below
  }
}

type Chance = ReturnType<typeof chanceOf>
type Tab = Awaited<ReturnType<typeof openSyncTab>>

/** Something is done to the pieces that lie on the phone's disk. */
async function onDisk(change: (pieces: Chunk[]) => Chunk[]): Promise<void> {
  const db = await openDB('standbook')
  const pieces = await db.getAll('chunks')
  await db.clear('chunks')
  for (const piece of change(pieces)) await db.put('chunks', piece)
  db.close()
}

function without(piece: Chunk, at: number): Chunk {
  const entries = piece.entries.filter((_, n) => n !== at)
  return { ...piece, entries, size: entries.length }
}

function changeOne(chance: Chance, change: (piece: Chunk) => Chunk[]): Promise<void> {
  return onDisk((pieces) => {
    const at = chance(pieces.length)
    return pieces.flatMap((piece, n) => (n === at ? change(piece) : [piece]))
  })
}

async function moveCursor(by: number): Promise<void> {
  const db = await openDB('standbook')
  const cursor: Cursor = await db.get('device', 'cursor')
  await db.put('device', { ...cursor, after: cursor.after + by }, 'cursor')
  db.close()
}

/** What may be missing from the history on the phone. */
const LOST: Record<string, (chance: Chance) => Promise<void>> = {
  'an entry': (chance) =>
    changeOne(chance, (piece) => [without(piece, chance(piece.entries.length))]),
  'a whole piece': (chance) => changeOne(chance, () => []),
  'the end of a piece': (chance) =>
    changeOne(chance, (piece) => {
      const entries = piece.entries.slice(0, chance(piece.entries.length))
      return entries.length ? [{ ...piece, entries, size: entries.length }] : []
    }),
  'what the cursor has counted': (chance) => moveCursor(1 + chance(3)),
}

type Lie = (page: PulledEntry[], missing: number) => PulledEntry[]

/** How a shop may leave out a seq. */
const LIES: Record<string, Lie> = {
  'leaves it out': (page, missing) => page.filter(({ seq }) => seq !== missing),
  'leaves it out and closes the ranks': (page, missing) =>
    page
      .filter(({ seq }) => seq !== missing)
      .map((entry) => (entry.seq > missing ? { ...entry, seq: entry.seq - 1 } : entry)),
  'gives the one before twice': (page, missing) =>
    page.map((entry, at) => {
      const before = page[at - 1] ?? page[at + 1] ?? entry
      return entry.seq === missing ? { ...before, seq: missing } : entry
    }),
  'ends before it': (page, missing) => page.filter(({ seq }) => seq < missing),
}

/** The shop lies about one seq: in every answer, or in the first one that would have had it; in the form asked for. */
function lying(shop: FakeShop, lie: Lie, missing: number, always: boolean) {
  let told = false
  return async (url: string, init: RequestInit): Promise<Response> => {
    const asWhole = url.replace('form=columns', 'form=entries')
    const lies = url.includes('/sync/pull') && (always || !told)
    const answer = await shop.fetch(lies ? asWhole : url, init)
    if (!lies || answer.status !== 200) return answer
    const body = await answer.json()
    told ||= body.entries.some(({ seq }: PulledEntry) => seq === missing)
    const entries = lie(body.entries, missing)
    const columns = url === asWhole ? null : columnsOf(entries)
    return Response.json(columns ? { ...body, entries: [], columns } : { ...body, entries })
  }
}

/** A book by somebody else, made once: its first entries are a shorter book of the same chain. */
const WHOLE = new FakeShop()
for (let n = 1; n <= 460; n++) {
  WHOLE.append(JSON.stringify({ id: `e${n}`, build: BUILD, device: 'other', device_no: n }))
}

/** Most books are short; some have several pieces. */
function length(chance: Chance): number {
  return 2 + chance(chance(4) ? 60 : 450)
}

function shopOf(count: number): FakeShop {
  const shop = new FakeShop()
  shop.book = WHOLE.book.slice(0, count)
  return shop
}

async function openAt(shop: FakeShop): Promise<Tab> {
  const tab = await openSyncTab()
  tab.sync.useFetch(shop.fetch)
  return tab
}

/** What the phone makes of the gap; null when it shows a book that is not the shop's and says nothing. */
async function noticed(tab: Tab, shop: FakeShop): Promise<'pulled anew' | 'told' | null> {
  const texts = (await tab.store.entriesOf(BUILD)).map(({ text }) => text)
  await tab.store.disconnect()
  if (JSON.stringify(texts) === JSON.stringify(shop.book.map(({ text }) => text)))
    return 'pulled anew'
  return /come through whole/.test(String(tab.sync.strip.value.problem)) ? 'told' : null
}

function pick<T>(from: Record<string, T>, seed: number): T {
  return Object.values(from)[seed % Object.values(from).length] as T
}

/** A piece of the pulled history goes; then the page is opened again. */
async function lost(seed: number) {
  const chance = chanceOf(seed)
  const shop = shopOf(length(chance))
  const tab = await openAt(shop)
  await tab.talk()
  await tab.store.disconnect()
  await pick(LOST, seed)(chance)
  const later = await openAt(shop)
  await later.talk()
  return noticed(later, shop)
}

/** The shop leaves out a seq that the phone has not pulled yet. */
async function liedTo(seed: number) {
  const chance = chanceOf(seed)
  const count = length(chance)
  const before = chance(count)
  const shop = shopOf(before)
  const tab = await openAt(shop)
  await tab.talk()
  shop.book = WHOLE.book.slice(0, count)
  const missing = before + 1 + chance(count - before)
  tab.sync.useFetch(lying(shop, pick(LIES, seed), missing, chance(2) === 1))
  await tab.talk()
  return noticed(tab, shop)
}

beforeEach(() => {
  vi.unstubAllGlobals()
  // One tab at a time: those of a thousand trials before would hear of each change, and take longer than the trials.
  vi.stubGlobal('BroadcastChannel', undefined)
})

const AT_A_TIME = 100
const BEGINNINGS = Array.from({ length: TRIALS / 2 / AT_A_TIME }, (_, n) => n * AT_A_TIME)

describe.each([
  ['a gap in what the phone has', lost],
  ['a gap in what the shop hands out', liedTo],
])('LG7: %s is noticed every time', (_, trial) => {
  it.each(BEGINNINGS)('in the hundred trials from %i on', { timeout: 60_000 }, async (first) => {
    const unseen: number[] = []
    for (let seed = first; seed < first + AT_A_TIME; seed++) {
      freshBrowser()
      if ((await trial(seed)) === null) unseen.push(seed)
    }
    expect(unseen).toEqual([])
  })
})
