/**
 * Sending own entries, in their order, until the server has answered each (LG5, LG6).
 *
 * Nothing is ever dropped: a row is marked as answered or stays unsent. A batch whose reply was lost is
 * sent again and answered as already there (LG3). While one batch is on its way the next is made ready and the one
 * before it marked, so that a slow phone and the shop do not wait for each other. Once the shop has taken one whole,
 * two are on their way: the shop looks through the second while it writes the first.
 */
import {
  carriedDevices,
  carriedFrom,
  deviceKey,
  firstUnsent,
  identity,
  lastOwnNumber,
  leaveIdentity,
  type Mark,
  markAnswered,
  markCarried,
  type OwnRow,
  ownFrom,
  recall,
  unsentAfter,
  writerIn,
} from '../store/index.ts'
import { NoContact, ServerFailure } from './failure.ts'
import { type Asked, readied, request } from './http.ts'
import { signatureOf } from './signing.ts'
import type { Refusal } from './wanted.ts'
import type { Answer, Mine, Proof, Push, Pushed } from './wire.ts'

const BATCH = 200
/** Characters in one batch: keeps a push far below the server's limit for a request. */
const BATCH_TEXT = 1_000_000

export interface PushEnd {
  /** The server's words when it refused an entry: everything from there on waits. */
  refused: Refusal | null
  mine: Mine | null
  epoch: string | null
}

const NOTHING_SENT: PushEnd = { refused: null, mine: null, epoch: null }

/** As many rows as fit one request; always at least one. */
function fitting<T extends OwnRow>(rows: T[], most: number): T[] {
  let size = 0
  const until = rows.findIndex((row) => {
    size += row.text.length
    return size > BATCH_TEXT
  })
  return rows.slice(0, Math.min(most, until === -1 ? rows.length : Math.max(1, until)))
}

function isPushed(body: Pushed | null): body is Pushed {
  return (
    Array.isArray(body?.answers) && typeof body.next_no === 'number' && body.epoch !== undefined
  )
}

/** Whose entries are sent, and what there is to say of him. */
type About = Omit<Push, 'now' | 'from_no' | 'entries' | 'proofs'>

/** Entries that go in one request, ready to go. */
interface Batch {
  rows: OwnRow[]
  about: About
  asked: Asked
}

function firstOf({ rows }: Batch): number {
  return rows[0]?.device_no ?? 1
}

function proofsOf(rows: OwnRow[]): Proof[] {
  return rows.flatMap(({ device_no, proof }) => (proof ? [{ device_no, ...proof }] : []))
}

async function batchOf(rows: OwnRow[], about: About, most = BATCH): Promise<Batch> {
  const fit = fitting(rows, most)
  const body: Push = {
    ...about,
    now: new Date().toISOString(),
    from_no: fit[0]?.device_no ?? 1,
    entries: fit.map((row) => row.text),
  }
  const proofs = proofsOf(fit)
  if (proofs.length) body.proofs = proofs
  body.signature = await signatureOf(body)
  return { rows: fit, about, asked: await readied({ method: 'POST', body }) }
}

/** A proxy or the server may find a batch too large: smaller ones go through. */
async function send({ rows, about, asked }: Batch): Promise<Pushed> {
  try {
    const { body } = await request<Pushed>('/sync/push', asked)
    if (!isPushed(body)) throw new NoContact('not_the_shop')
    return body
  } catch (error) {
    const tooLarge = error instanceof ServerFailure && error.status === 413
    if (!tooLarge || rows.length === 1) throw error
    return send(await batchOf(rows, about, Math.floor(rows.length / 2)))
  }
}

const MARKS: Record<string, 'sent' | 'held'> = {
  stored: 'sent',
  already: 'sent',
  held: 'held',
  conflict: 'held',
}

/** Null for a refusal and for a result that we do not know: such an entry stays unsent. */
function markOf(answer: Answer): Mark | null {
  const sent = MARKS[answer.result]
  if (!sent) return null
  const held = {
    code: answer.code ?? answer.result,
    message: answer.message ?? 'The shop keeps this entry back. Show it to the lead.',
  }
  return { device_no: answer.device_no, sent, held: sent === 'held' ? held : null, seq: answer.seq }
}

function refusalIn(answers: Answer[]): Answer | undefined {
  return answers.find((answer) => markOf(answer) === null && answer.code !== 'number_gap')
}

/** The same number under another text: this identity is on two phones, or a phone was set back (LG4). */
function isTaken(answer: Answer): boolean {
  return answer.code === 'same_number'
}

/** What the shop said to one batch. */
interface Said {
  marks: Mark[]
  next: number
  end: PushEnd
  /** A number of ours was somebody else's. */
  taken: boolean
}

function said(pushed: Pushed): Said {
  const marks = pushed.answers.map(markOf).filter((mark) => mark !== null)
  const refusal = refusalIn(pushed.answers)
  const refused = refusal && {
    code: refusal.code ?? 'refused',
    message: refusal.message ?? 'The shop refused an entry.',
    device_no: refusal.device_no,
  }
  const end = { refused: refused ?? null, mine: pushed.mine ?? null, epoch: pushed.epoch }
  return { marks, next: pushed.next_no, end, taken: pushed.answers.some(isTaken) }
}

/** Under which small fact a device keeps the name that the shop gave it. */
export const DEVICE_NAME = 'device name'

async function aboutMe(app_version: string): Promise<About> {
  const [{ device, before }, name, made] = await Promise.all([
    identity(),
    recall<string>(DEVICE_NAME),
    lastOwnNumber(),
  ])
  const replaces = before ? { device: before.device, made: before.made } : null
  return { device, device_name: name ?? '', app_version, made, replaces }
}

/** From the first unsent entry on, or from an earlier one that the shop wants; null when nothing is unsent. */
async function batchWanted(next: number, about: About): Promise<Batch | null> {
  const unsent = await firstUnsent()
  if (unsent === null) return null
  const read = ownFrom(Math.min(unsent, next), BATCH)
  // The key is looked for, or made, while they are read: signing them finds it at hand.
  const [rows] = await Promise.all([read, deviceKey(about.device)])
  return batchOf(rows, about)
}

/** A batch that is on its way with what the shop says to it, and the one after it, made ready meanwhile. */
interface Flight {
  batch: Batch
  answer: Promise<Said>
  ahead: Promise<Batch | null>
}

function flightOf(batch: Batch): Flight {
  const flight = { batch, answer: send(batch).then(said), ahead: batchAfter(batch) }
  // Whoever waits for them is told; nobody may, where the one before failed.
  flight.answer.catch(() => undefined)
  flight.ahead.catch(() => undefined)
  return flight
}

/** The shop looks at PINs for so long that the next batch would come past this one, and be refused for its gap. */
function isQuick({ rows }: Batch): boolean {
  return proofsOf(rows).length === 0
}

/** No request outlives the talk that it belongs to. */
async function settled(flight: Flight | null): Promise<void> {
  await Promise.allSettled([flight?.answer, flight?.ahead])
}

/** What is unsent after this batch, as far as it fits the next one; null when nothing is. */
async function batchAfter({ rows, about }: Batch): Promise<Batch | null> {
  const next = await unsentAfter(rows.at(-1)?.device_no ?? 0, BATCH)
  return next.length ? batchOf(next, about) : null
}

/** The shop has every entry of the batch and wants nothing that lies before the one that is ready. */
function goesOn({ rows }: Batch, { marks, next, taken }: Said, ahead: Batch): boolean {
  const whole = !taken && marks.length === rows.length && marks.every(({ sent }) => sent === 'sent')
  return whole && next >= firstOf(ahead)
}

/**
 * Pushes everything that is unsent. Throws NoContact or ServerFailure; what was answered stays marked.
 *
 * The server may want an earlier number than our first unsent one when it lost entries (LG9): it gets them.
 * It may want that once a push; asking again for what it was just given must not spin us.
 * Of two on their way the second may come first: the shop refuses it for its gap, and gets it again, from then on one
 * at a time. Where the first fails, what was said to the second is passed over: it is sent again as well.
 */
export async function pushAll(app_version: string): Promise<PushEnd> {
  const about = await aboutMe(app_version)
  let end = NOTHING_SENT
  let wentBack = false
  // Null until the shop has answered; once it stopped us, one batch at a time.
  let abreast: boolean | null = null
  let second: Flight | null = null
  let noted = Promise.resolve(0)
  let batch = await batchWanted(Number.MAX_SAFE_INTEGER, about)
  try {
    for (let flight = batch && flightOf(batch); flight; ) {
      const { batch: sent, ahead } = flight
      const next = await ahead
      second = abreast && next && isQuick(sent) ? flightOf(next) : null
      const [answer] = await Promise.all([flight.answer, noted])
      end = answer.end
      const goes = next !== null && goesOn(sent, answer, next)
      abreast = goes && abreast !== false
      // Reads on before it marks: a read would wait until the marks are on the disk.
      flight = goes ? (second ?? flightOf(next)) : null
      noted = markAnswered(answer.marks, sent.rows)
      if (flight) continue
      await settled(second)
      const back = (await noted) === 0 && answer.next <= firstOf(sent)
      // What the shop says of the old identity is no word about the new one.
      if (answer.taken) end = { ...end, mine: null }
      if (answer.taken) await leaveIdentity()
      if (answer.taken || end.refused || (back && wentBack)) break
      wentBack ||= back
      batch = await batchWanted(answer.next, about)
      flight = batch && flightOf(batch)
    }
  } finally {
    await settled(second)
    await noted.catch(() => undefined)
  }
  return end
}

/** A twin's entries may be carried under this device's own name: that says nothing new of the device itself. */
function aboutWriter(lane: string, me: About): About {
  const device = writerIn(lane)
  return device === me.device
    ? me
    : { device, device_name: '', app_version: '', carrier: me.device }
}

/** Entries of one lane, in their order, as far as the shop takes them; gives where it stopped. */
async function pushLane(lane: string, first: number, me: About): Promise<Refusal | null> {
  for (let from = first; ; ) {
    const rows = await carriedFrom(lane, from, BATCH)
    if (!rows.length) return null
    const batch = await batchOf(rows, aboutWriter(lane, me))
    const { marks, end } = said(await send(batch))
    const moved = (await markCarried(lane, marks)) > 0
    if (end.refused || !moved) return end.refused
    from += batch.rows.length
  }
}

/**
 * Offers what this device carries for others. A refusal (an earlier entry is missing, a lead has to sign in, a PIN is
 * wanted) holds up that device's entries alone, its twin's with them; gives each.
 */
export async function pushCarried(
  app_version: string,
): Promise<{ device: string; refused: Refusal }[]> {
  const me = await aboutMe(app_version)
  const stops: { device: string; refused: Refusal }[] = []
  for (const { device, from } of await carriedDevices()) {
    if (stops.some((stop) => writerIn(stop.device) === writerIn(device))) continue
    const refused = await pushLane(device, from, me)
    if (refused) stops.push({ device, refused })
  }
  return stops
}
