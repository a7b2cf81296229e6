/**
 * Sending own entries, in their order, until the server has answered each (LG5, LG6).
 *
 * Nothing is ever dropped: a row is marked as answered or stays unsent. A batch whose reply was lost is
 * sent again and answered as already there (LG3).
 */
import {
  firstUnsent,
  identity,
  type Mark,
  markAnswered,
  type OwnRow,
  ownFrom,
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
function fitting(rows: OwnRow[], most: number): OwnRow[] {
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

async function send(rows: OwnRow[], about: Pick<Push, 'device' | 'app_version'>): Promise<Pushed> {
  const body: Push = {
    ...about,
    device_name: '',
    now: new Date().toISOString(),
    from_no: rows[0]?.device_no ?? 1,
    entries: rows.map((row) => row.text),
  }
  const answer = await request<Pushed>('/sync/push', { method: 'POST', body })
  if (!isPushed(answer.body)) throw new NoContact('not_the_shop')
  return answer.body
}

/** A proxy or the server may find a batch too large: smaller ones go through. */
async function sendFitting(
  rows: OwnRow[],
  about: Pick<Push, 'device' | 'app_version'>,
): Promise<Pushed> {
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
  return { device_no: answer.device_no, sent, held: sent === 'held' ? held : null }
}

function refusalIn(answers: Answer[]): Answer | undefined {
  return answers.find((answer) => markOf(answer) === null && answer.code !== 'number_gap')
}

interface Round {
  next: number
  end: PushEnd
  /** At least one row is further on its way than before. */
  moved: boolean
}

async function round(rows: OwnRow[], about: Pick<Push, 'device' | 'app_version'>): Promise<Round> {
  const pushed = await sendFitting(rows, about)
  const marks = pushed.answers.map(markOf).filter((mark) => mark !== null)
  const moved = (await markAnswered(marks)) > 0
  const refusal = refusalIn(pushed.answers)
  const refused = refusal && {
    code: refusal.code ?? 'refused',
    message: refusal.message ?? 'The shop refused an entry.',
  }
  const end = { refused: refused ?? null, mine: pushed.mine ?? null, epoch: pushed.epoch }
  return { next: pushed.next_no, end, moved }
}

/**
 * Pushes everything that is unsent. Throws NoContact or ServerFailure; what was answered stays marked.
 *
 * The server may want an earlier number than our first unsent one when it lost entries (LG9): it gets them.
 * It may want that once a push; asking again for what it was just given must not spin us.
 */
export async function pushAll(app_version: string): Promise<PushEnd> {
  const { device } = await identity()
  let end = NOTHING_SENT
  let wentBack = false
  for (let from = await firstUnsent(); from !== null; ) {
    const rows = fitting(await ownFrom(from, BATCH), BATCH)
    const made = await round(rows, { device, app_version })
    end = made.end
    const back: boolean = !made.moved && made.next <= from
    if (end.refused || (back && wentBack)) break
    wentBack ||= back
    const unsent = await firstUnsent()
    from = unsent === null ? null : Math.min(unsent, made.next)
  }
  return end
}
