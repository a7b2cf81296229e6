/**
 * The last preview, asked for once more: a value is judged at its last key and again when the thumb keeps it. It holds
 * until the brain hears something new; a slow phone saves ten milliseconds between the thumb and the disk.
 */
import type { Call } from './host.js'

const ASKED = 'preview'
/** Calls that tell the brain nothing. After any other one the answer may be another. */
const ONLY_ASK = new Set([
  'state',
  'step',
  'guide',
  'hold',
  'limits',
  'tightened',
  'gauges',
  'judge',
])

let last: { call: Call; question: string; answer: string } | null = null

/** What the brain says; from memory where it was asked just this and has heard nothing since. */
export function sayOnce(call: Call, name: string, question: string): string {
  if (name === ASKED && last?.call === call && last.question === question) return last.answer
  if (!ONLY_ASK.has(name)) last = null
  const answer = call(name, question)
  if (name === ASKED) last = { call, question, answer }
  return answer
}
