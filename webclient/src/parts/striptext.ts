/** The strip's words: what is unsent, what is held back, when the shop was last reached. */
import { ago } from './when.ts'

export interface StripFacts {
  unsent: number
  held: number
  safe: number
  lastContact: number | null
  online: boolean
  persisted: boolean | null
  problem: string | null
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

/** One line. It is good only when the shop has everything; no network with nothing unsent is no trouble. */
export function stripSays(facts: StripFacts, now: Date = new Date()): StripSays {
  const when = contact(facts, now)
  if (facts.held > 0) return { sign: 'WARN', words: `${facts.held} held back · ${when}` }
  if (facts.unsent > 0) return { sign: 'unsent', words: `${facts.unsent} unsent · ${when}` }
  if (facts.allSafe && facts.safe === 0)
    return { sign: 'away', words: `Nothing of yours yet · ${when}` }
  if (facts.allSafe) return { sign: 'safe', words: `All ${facts.safe} safe · ${when}` }
  return { sign: 'away', words: facts.safe > 0 ? `Waiting for the shop's count · ${when}` : when }
}

/** The same at length, for the one who taps. */
export function stripExplains(facts: StripFacts): string[] {
  const lines: string[] = []
  if (facts.unsent > 0)
    lines.push(
      `${facts.unsent} of your entries lie on this phone only. They go to the shop by themselves when it is in reach; work on.`,
    )
  if (facts.allSafe && facts.safe > 0)
    lines.push(`The shop has shown its own record of all ${facts.safe} entries of this phone.`)
  else if (facts.safe > 0 && facts.unsent === 0 && facts.held === 0)
    lines.push('Nothing waits to be sent. The shop has not yet shown that it has everything.')
  if (!facts.online) lines.push('There is no network here. Everything works; it is sent later.')
  if (facts.persisted === false)
    lines.push(
      'This browser may clear its storage when space runs out. Install the app or bookmark it, and sync before you leave it for days.',
    )
  if (facts.problem) lines.push(facts.problem)
  return lines
}
