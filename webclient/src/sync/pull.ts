/**
 * Bringing the shop's book to this device, page by page, until nothing is newer.
 *
 * Only what a pull shows is safe (LG7). An unknown epoch or a cursor from the future means that the server
 * was restored: history is pulled from zero and every own entry is offered again (LG9).
 */
import { appendPage, type Cursor, complete, cursor, identity, startOver } from '../store/index.ts'
import { entriesOf } from './columns.ts'
import { NoContact, ServerFailure } from './failure.ts'
import { request } from './http.ts'
import { ownProven } from './proof.ts'
import { fetchPins } from './shop.ts'
import type { Mine, Pulled } from './wire.ts'

const PAGE = 1000
/** A book that does not fit together after this many fresh starts is broken on the server's side. */
const MOST_RESTARTS = 2

export interface PullEnd {
  /** The server's record of this device; null when the answer was "nothing new". */
  mine: Mine | null
  /** The server's book is another one than before (restored): own entries were offered again. */
  restarted: boolean
}

/** The last answer without news: only such a one may be answered with "not modified". */
let quiet: { address: string; etag: string | null } = { address: '', etag: null }

function isPulled(body: Pulled): boolean {
  return Array.isArray(body.entries) && typeof body.epoch === 'string'
}

/** Pages come as columns, a fifth of the bytes. An older shop knows nothing of that and sends whole entries. */
const FORM = 'columns'

function addressOf(epoch: string | null, after: number, device: string): string {
  const query = new URLSearchParams({
    after: String(after),
    limit: String(PAGE),
    device,
    form: FORM,
  })
  if (epoch !== null) query.set('epoch', epoch)
  return `/sync/pull?${query}`
}

/** One page; null when nothing is new. */
async function page(address: string): Promise<Pulled | null> {
  const known = address === quiet.address ? quiet.etag : null
  const { body, etag } = await request<Pulled>(address, { etag: known })
  if (body && !isPulled(body)) throw new NoContact('not_the_shop')
  const pulled = body && (await whole(body, address))
  if (pulled && pulled.entries.length === 0) quiet = { address, etag }
  return pulled
}

/** The same with its entries. A page whose hashes do not follow is asked for as it stands in the book. */
async function whole(body: Pulled, address: string): Promise<Pulled> {
  if (!body.columns) return body
  const entries = entriesOf(body.columns)
  if (entries) return { ...body, entries }
  const { body: plain } = await request<Pulled>(address.replace(`form=${FORM}`, 'form=entries'))
  if (!plain || !isPulled(plain)) throw new NoContact('not_the_shop')
  return plain
}

/** A page that was asked for before it was due. */
interface Ahead {
  address: string
  answer: Promise<Pulled | null>
}

/** Asks for the page after this one, while this one is put on the disk; null after the last. */
function pageAfter({ epoch, entries, more }: Pulled, device: string): Ahead | null {
  const last = entries.at(-1)
  if (!more || !last) return null
  const address = addressOf(epoch, last.seq, device)
  const answer = page(address)
  // Nobody may want it any more; who does hears of what went wrong.
  answer.catch(() => undefined)
  return { address, answer }
}

function broken(): ServerFailure {
  const message =
    'The shop’s book does not come through whole. Tell the lead; everything is kept here.'
  return new ServerFailure(200, 'book_broken', message)
}

/** Puts a page on the disk; gives where the book stands then, null where it starts over. */
async function keep(pulled: Pulled, device: string, at: Cursor): Promise<Cursor | null> {
  const { epoch: known, after } = at
  if (!(await ownProven(pulled.entries, device))) throw broken()
  const other = pulled.reset || (known !== null && known !== pulled.epoch)
  // A device that has seen these entries has the PINs of that time: what is signed after them is signed with those.
  if (pulled.entries.length) await fetchPins(pulled.pins)
  if (other) await startOver(pulled.epoch)
  const stored = await appendPage(pulled.epoch, pulled.entries)
  // Another tab was quicker and our page is old: then the cursor has moved. Else the pages do not fit.
  const torn = !stored && (await cursor()).after === after
  if (torn && !other) await startOver(pulled.epoch)
  if (other || torn) return null
  const last = pulled.entries.at(-1)
  return stored && last ? { epoch: pulled.epoch, after: last.seq, hash: last.hash } : cursor()
}

/** Drops a history that has lost pieces, so that it is pulled anew (LG7). */
export async function mend(): Promise<void> {
  if (!(await complete())) await startOver((await cursor()).epoch)
}

/** Pulls until nothing is newer. Throws NoContact, ServerFailure or StoreFailure. */
export async function pullAll(): Promise<PullEnd> {
  let [{ device }, at] = await Promise.all([identity(), cursor()])
  let short = 0
  let ahead: Ahead | null = null
  for (let restarts = 0; restarts + short <= MOST_RESTARTS; ) {
    const address = addressOf(at.epoch, at.after, device)
    // What was asked for ahead may be of another place: the page before it did not fit.
    const pulled: Pulled | null = await (ahead?.address === address ? ahead.answer : page(address))
    if (pulled === null) return { mine: null, restarted: restarts > 0 }
    ahead = pageAfter(pulled, device)
    const kept = await keep(pulled, device, at)
    at = kept ?? (await cursor())
    if (!kept) restarts += 1
    else if (!pulled.more || !pulled.entries.length) {
      // seq has no gaps: an end before the shop's last number has left something out (LG7). It is asked again.
      if ((await cursor()).after < pulled.last_seq) short += 1
      else return { mine: pulled.mine ?? null, restarted: restarts > 0 }
    }
  }
  throw broken()
}

/** The shop's record of a device, whatever is new in the book; null when it does not say. */
export async function recordOf(device: string): Promise<Mine | null> {
  const { epoch, after } = await cursor()
  const { body } = await request<Pulled>(addressOf(epoch, after, device))
  if (!body || !isPulled(body)) throw new NoContact('not_the_shop')
  return body.mine ?? null
}

/** How many entries of another device the shop has; null when it does not say. */
export async function countAtShop(device: string): Promise<number | null> {
  return (await recordOf(device))?.count ?? null
}
