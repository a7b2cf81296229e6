/**
 * What has to be asked before a reading is kept, and what was already answered. It asks once: an answer for a
 * value in a place holds for that value, so that nobody argues twice with the same number.
 */
import type { Preview, Slip, Typed, ValueView } from '../brain/types.ts'

/** The answer "found so" to a value outside its limits; slips are answered by their own ids. */
export const OUT = 'out'

export type Ask =
  | { about: 'slip'; slips: Slip[] }
  | { about: 'limit'; sentence: string; verdict: string }
  | { about: 'unjudged'; sentence: string }

const BAD = ['out', 'abort', 'too close, measure again']

/** A verdict that wants an answer before the reading is kept. */
export function isBad(value: ValueView): boolean {
  return BAD.includes(value.verdict)
}

/**
 * The first thing to ask about this preview; null: keep it. `answered`: what was answered for the same value.
 * `known`: values that were bad before this reading; they are flagged already and are not asked about again.
 */
export function firstAsk(preview: Preview, answered: string[], known: string[]): Ask | null {
  if (!preview.ask) return null
  const slips = preview.slips.filter(({ id }) => !answered.includes(id))
  if (slips.length > 0) return { about: 'slip', slips }
  const bad = preview.values.find((value) => isBad(value) && !known.includes(value.id))
  if (!bad || answered.includes(OUT)) return null
  return { about: 'limit', sentence: bad.sentence, verdict: bad.verdict }
}

/** Answers by place and value, for as long as the page stands. */
export class Answers {
  private readonly given = new Map<string, string[]>()

  private key(place: string, value: Typed): string {
    return JSON.stringify([place, value.text, value.unit])
  }

  of(place: string, value: Typed): string[] {
    return this.given.get(this.key(place, value)) ?? []
  }

  add(place: string, value: Typed, answer: string): void {
    const known = this.of(place, value)
    if (!known.includes(answer)) this.given.set(this.key(place, value), [...known, answer])
  }
}
