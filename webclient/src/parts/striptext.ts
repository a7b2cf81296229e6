/** The strip's words: what is unsent, what is held back, when the shop was last reached. */
import { ago } from './when.ts'

export interface StripFacts {
  unsent: number
  held: number
  safe: number
  /** Pictures that are still on their way. */
  photos: number
  /** Pictures that the shop does not take. */
  photosRefused: number
  /** Entries of another device that this one brings to the shop. */
  carried: number
  lastContact: number | null
  online: boolean
  persisted: boolean | null
  /** Whether the shop lets this device in. */
  trust: 'unknown' | 'joined' | 'not joined' | 'cut off'
  problem: string | null
  pinOf: string[]
  allSafe: boolean
}

export interface StripSays {
  sign: 'safe' | 'unsent' | 'WARN' | 'away'
  words: string
}

function contact(facts: StripFacts, now: Date): string {
  if (facts.lastContact === null) return 'shop not seen yet'
  return `shop seen ${ago(facts.lastContact, now)}`
}

/** A bare number, unless there is something else that it has to be told from. */
function entries(count: number, among: boolean): string {
  if (!among) return `${count}`
  return count === 1 ? '1 entry' : `${count} entries`
}

function pictures(count: number): string {
  return `${count} ${count === 1 ? 'picture' : 'pictures'}`
}

/** What waits here, as short as it can be said unless it shall be `named`; null when nothing does. */
function waits({ unsent, photos, carried }: StripFacts, named = false): string | null {
  const parts = [
    unsent > 0 ? entries(unsent, named || photos + carried > 0) : '',
    photos > 0 ? pictures(photos) : '',
    carried > 0 ? `${carried} of another phone` : '',
  ].filter((part) => part)
  return parts.length ? parts.join(', ') : null
}

type Out = 'not joined' | 'cut off'

/** Null where nothing says that the shop shuts this phone out. */
function outOf({ trust }: StripFacts): Out | null {
  return trust === 'not joined' || trust === 'cut off' ? trust : null
}

const OUT = { 'not joined': 'Not joined to the shop', 'cut off': 'Cut off from the shop' }

function shutOut(facts: StripFacts, out: Out): string {
  const waiting = waits(facts)
  return waiting ? `${OUT[out]}, ${waiting} unsent` : OUT[out]
}

/** What somebody has to look at; null when there is no such thing. */
function troubles(facts: StripFacts): string | null {
  const { held, photosRefused, pinOf } = facts
  const out = outOf(facts)
  if (out) return shutOut(facts, out)
  if (pinOf.length > 0) return `PIN of ${pinOf.join(' and ')} wanted`
  if (held > 0) return `${held} held back`
  return photosRefused > 0 ? `${pictures(photosRefused)} not taken by the shop` : null
}

/** One line. It is good only when the shop has everything; no network with nothing unsent is no trouble. */
export function stripSays(facts: StripFacts, now: Date = new Date()): StripSays {
  const when = contact(facts, now)
  const trouble = troubles(facts)
  if (trouble) return { sign: 'WARN', words: `${trouble} · ${when}` }
  const waiting = waits(facts)
  if (waiting) return { sign: 'unsent', words: `${waiting} unsent · ${when}` }
  if (facts.allSafe && facts.safe === 0)
    return { sign: 'away', words: `Nothing of yours yet · ${when}` }
  if (facts.allSafe) return { sign: 'safe', words: `All ${facts.safe} safe · ${when}` }
  return { sign: 'away', words: facts.safe > 0 ? `Waiting for the shop's count · ${when}` : when }
}

const OUT_EXPLAINED = {
  'not joined':
    'The shop does not know this phone: it takes nothing from it and shows it nothing new. Work on; everything is kept here. Ask a lead for a code at the desk and join.',
  'cut off':
    'A lead has cut this phone off: the shop takes nothing from it any more. What is on it is kept here. To use it again, join it with a new code.',
}

/** Why nothing goes to the shop, and the way that is left. */
function outExplains(facts: StripFacts, out: Out): string[] {
  const unsent = waits(facts, true)
  const byFile = `Unsent and safe on this phone: ${unsent}. It can also go by hand: write it to a file below and take that in at the desk.`
  return unsent ? [OUT_EXPLAINED[out], byFile] : [OUT_EXPLAINED[out]]
}

/** The same at length, for the one who taps. */
export function stripExplains(facts: StripFacts): string[] {
  const out = outOf(facts)
  return out ? outExplains(facts, out) : explains(facts)
}

function explains(facts: StripFacts): string[] {
  const lines: string[] = []
  if (facts.unsent > 0)
    lines.push(
      `${facts.unsent} of your entries lie on this phone only. They go to the shop by themselves when it is in reach; work on.`,
    )
  if (facts.photos > 0)
    lines.push(
      `${pictures(facts.photos)} ${facts.photos === 1 ? 'is' : 'are'} on the way to the shop; after a break they go on where they were.`,
    )
  if (facts.photosRefused > 0)
    lines.push(
      `${pictures(facts.photosRefused)} could not be taken by the shop: damaged on this phone, or of a kind or size that it cannot read. The entry is safe; take the picture once more and strike the old one out.`,
    )
  if (facts.carried > 0)
    lines.push(
      `${facts.carried} entries of another phone lie here until the shop has shown its record of them.`,
    )
  if (facts.allSafe && facts.safe > 0)
    lines.push(`All ${facts.safe} of my entries are at the shop.`)
  else if (facts.safe > 0 && facts.unsent === 0 && facts.held === 0)
    lines.push('Nothing waits to be sent. The shop has not yet shown that it has everything.')
  if (!facts.online) lines.push('There is no network here. Everything works; it is sent later.')
  if (facts.problem) lines.push(facts.problem)
  return lines
}
