/**
 * Sending own entries, in their order, until the server has answered each (LG5, LG6).
 *
 * Nothing is ever dropped: a row is marked as answered or stays unsent. A batch whose reply was lost is
 * sent again and answered as already there (LG3).
 */
import {
  carriedDevices,
  carriedFrom,
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
} from '../store/index.ts'
import { NoContact, ServerFailure } from './failure.ts'
import { request } from './http.ts'
import type { Answer, Mine, Push, Pushed } from './wire.ts'

const BATCH = 200
/** Characters in one batch: keeps a push far below the server's limit for a request. */
const BATCH_TEXT = 1_000_000

export interface PushEnd {
  /** The server's words when it refused an entry: everything from there on waits. */
  refused: { code: string; message: string } | null
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
type About = Omit<Push, 'now' | 'from_no' | 'entries'>

async function send(rows: OwnRow[], about: About): Promise<Pushed> {
  const body: Push = {
    ...about,
    now: new Date().toISOString(),
    from_no: rows[0]?.device_no ?? 1,
    entries: rows.map((row) => row.text),
  }
  const answer = await request<Pushed>('/sync/push', { method: 'POST', body })
  if (!isPushed(answer.body)) throw new NoContact('not_the_shop')
  return answer.body
}

/** A proxy or the server may find a batch too large: smaller ones go through. */
async function sendFitting(rows: OwnRow[], about: About): Promise<Pushed> {
  try {
    return await send(rows, about)
  } catch (error) {
    const tooLarge = error instanceof ServerFailure && error.status === 413
    if (!tooLarge || rows.length === 1) throw error
    return sendFitting(fitting(rows, Math.floor(rows.length / 2)), about)
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

interface Round {
  next: number
  end: PushEnd
  /** At least one row is further on its way than before. */
  moved: boolean
  /** A number of ours was somebody else's. */
  taken: boolean
}

type Note = (marks: Mark[]) => Promise<number>

async function round(rows: OwnRow[], about: About, note: Note): Promise<Round> {
  const pushed = await sendFitting(rows, about)
  const marks = pushed.answers.map(markOf).filter((mark) => mark !== null)
  const moved = (await note(marks)) > 0
  const refusal = refusalIn(pushed.answers)
  const refused = refusal && {
    code: refusal.code ?? 'refused',
    message: refusal.message ?? 'The shop refused an entry.',
  }
  const end = { refused: refused ?? null, mine: pushed.mine ?? null, epoch: pushed.epoch }
  return { next: pushed.next_no, end, moved, taken: pushed.answers.some(isTaken) }
}

/** Under which small fact a device keeps the name that the shop gave it. */
export const DEVICE_NAME = 'device name'

async function aboutMe(app_version: string): Promise<About> {
  const { device, before } = await identity()
  const device_name = (await recall<string>(DEVICE_NAME)) ?? ''
  const replaces = before ? { device: before.device, made: before.made } : null
  return { device, device_name, app_version, made: await lastOwnNumber(), replaces }
}

/**
 * Pushes everything that is unsent. Throws NoContact or ServerFailure; what was answered stays marked.
 *
 * The server may want an earlier number than our first unsent one when it lost entries (LG9): it gets them.
 * It may want that once a push; asking again for what it was just given must not spin us.
 */
export async function pushAll(app_version: string): Promise<PushEnd> {
  const about = await aboutMe(app_version)
  let end = NOTHING_SENT
  let wentBack = false
  for (let from = await firstUnsent(); from !== null; ) {
    const rows = fitting(await ownFrom(from, BATCH), BATCH)
    const made = await round(rows, about, markAnswered)
    end = made.end
    if (made.taken) {
      await leaveIdentity()
      // What the shop says of the old identity is no word about the new one.
      end = { ...end, mine: null }
    }
    const back: boolean = !made.moved && made.next <= from
    if (made.taken || end.refused || (back && wentBack)) break
    wentBack ||= back
    const unsent = await firstUnsent()
    from = unsent === null ? null : Math.min(unsent, made.next)
  }
  return end
}

/** Entries of one other device, in their order, as far as the shop takes them. */
async function pushCarriedOf(device: string, first: number, carrier: string): Promise<void> {
  const about: About = { device, device_name: '', app_version: '', carrier }
  for (let from = first; ; ) {
    const rows = fitting(await carriedFrom(device, from, BATCH), BATCH)
    if (!rows.length) return
    const made = await round(rows, about, (marks) => markCarried(device, marks))
    if (made.end.refused || !made.moved) return
    from += rows.length
  }
}

/**
 * Offers what this device carries for others. A refusal (an earlier entry is missing, a lead has to sign in) holds up
 * that device's entries alone.
 */
export async function pushCarried(): Promise<void> {
  const { device } = await identity()
  for (const { device: other, from } of await carriedDevices()) {
    await pushCarriedOf(other, from, device)
  }
}
