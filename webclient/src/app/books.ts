/**
 * Keeps the books inside the brain equal to the store's: opened on the first question about a build, then
 * fed entry by entry (a whole fold of 2,000 entries is 40 times dearer than one more entry).
 */
import { beforeAsking, brain, brainStarts, type FedEntry, startBrain } from '../brain/brain.ts'
import { type BookEntry, type Change, entriesOf, onChange } from '../store/index.ts'
import { people } from './shop.ts'

/** Books that the brain holds at a time: memory on a phone is short, reopening is not dear. */
const MOST_OPEN = 4

interface Book {
  /** Entry -> the seq it was fed with. */
  fed: Map<string, number | null>
  /** The start of the brain that it lives in. */
  start: number
}

const books = new Map<string, Book>()
/** What came since the book was last fed; 'unknown' wants a look into the store. */
const news = new Map<string, BookEntry[] | 'unknown'>()
const turns = new Map<string, Promise<void>>()
/** Builds whose book is being brought, and how many times over. */
const bringing = new Map<string, number>()

function nameOf(entry: BookEntry): string {
  return entry.id || `seq ${entry.seq}`
}

function fed(entries: BookEntry[]): FedEntry[] {
  return entries.map(({ text, seq }) => ({ text, seq }))
}

/** The shop's book has no held-back entry, so a verdict must not rest on one. */
async function counted(build: string): Promise<BookEntry[]> {
  return (await entriesOf(build)).filter((entry) => entry.sent !== 'held')
}

function note(book: Book, entries: BookEntry[]): void {
  for (const entry of entries) book.fed.set(nameOf(entry), entry.seq)
}

async function openBook(build: string, entries: BookEntry[]): Promise<Book> {
  await brain.open(build, fed(entries))
  const book: Book = { fed: new Map(), start: brainStarts.value }
  note(book, entries)
  books.set(build, book)
  return book
}

async function feed(build: string, book: Book, entries: BookEntry[]): Promise<void> {
  const fresh = entries.filter((entry) => book.fed.get(nameOf(entry)) !== entry.seq)
  if (!fresh.length) return
  await brain.add(build, fed(fresh))
  note(book, fresh)
}

async function compare(build: string, book: Book): Promise<void> {
  const entries = await counted(build)
  const names = new Set(entries.map(nameOf))
  const gone = [...book.fed.keys()].some((name) => !names.has(name))
  if (gone) await openBook(build, entries)
  else await feed(build, book, entries)
}

async function closeOldest(): Promise<void> {
  const [oldest] = books.keys()
  if (books.size <= MOST_OPEN || oldest === undefined) return
  books.delete(oldest)
  await brain.close(oldest)
}

function alive(build: string): Book | null {
  const book = books.get(build)
  if (book?.start !== brainStarts.peek()) return null
  // Moves it to the end: the first one is the one that nobody asked about for longest.
  books.delete(build)
  books.set(build, book)
  return book
}

/** Which list of people the brain was told last, and in which of its lives. */
let named: { people: object; start: number } | null = null

function areNamed(list: object[]): boolean {
  const known = named?.people === list && named.start === brainStarts.peek()
  return known || list.length === 0
}

/** A view speaks of people by name; an id must never reach a screen. */
async function tellNames(): Promise<void> {
  const list = people.value
  if (areNamed(list)) return
  await brain.people(list.map(({ id, name }) => ({ id, name })))
  named = { people: list, start: brainStarts.value }
}

async function feedNews(build: string, book: Book): Promise<void> {
  const came = news.get(build)
  news.delete(build)
  if (came === 'unknown') await compare(build, book)
  else if (came) await feed(build, book, came)
}

async function bringNow(build: string): Promise<void> {
  // The disk is read while the interpreter starts. What came before is in what is read; what comes later is news.
  const closed = alive(build) === null
  if (closed) news.delete(build)
  const [entries] = await Promise.all([closed ? counted(build) : null, startBrain()])
  try {
    await tellNames()
    const book = alive(build) ?? (await openBook(build, entries ?? (await counted(build))))
    await feedNews(build, book)
    await closeOldest()
  } catch (error) {
    books.delete(build)
    throw error
  }
}

/** Makes the brain's book of a build equal to the store's. In turn, so that no entry overtakes another. */
export function bring(build: string): Promise<void> {
  const before = turns.get(build) ?? Promise.resolve()
  const turn = before.catch(() => undefined).then(() => bringNow(build))
  turns.set(build, turn)
  count(build, 1)
  return turn.finally(() => count(build, -1))
}

function count(build: string, more: 1 | -1): void {
  bringing.set(build, (bringing.get(build) ?? 0) + more)
}

/** Whether the brain's book of a build is the store's as far as anybody knows: `bring` would find nothing to do. */
export function whole(build: string): boolean {
  const quiet = !bringing.get(build) && !news.has(build)
  return quiet && areNamed(people.peek()) && alive(build) !== null
}

function noteNews(change: Change): void {
  if (change.all) for (const build of books.keys()) news.set(build, 'unknown')
  for (const build of change.builds) {
    const known = news.get(build)
    const fresh = change.entries?.filter((entry) => entry.build === build)
    news.set(build, fresh && known !== 'unknown' ? [...(known ?? []), ...fresh] : 'unknown')
  }
}

/** Ties the brain to the store. */
export function keepBooks(): void {
  onChange(noteNews)
  beforeAsking(bring, whole)
}
