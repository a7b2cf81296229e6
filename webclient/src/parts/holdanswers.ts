/** What somebody says of the lines of a Hold before signing it, and the entry that the signature becomes. */
import type { HoldLine, HoldView, LineAnswer } from '../brain/types.ts'
import type { Fact } from './write.ts'

export interface Answer {
  answer: LineAnswer
  /** Why the line is not in this job. */
  note: string
}

export type Answers = Record<number, Answer>

/** Answers as they were left half given; none where the words are no answers. */
export function readAnswers(text: string): Answers {
  try {
    return text === '' ? {} : (JSON.parse(text) as Answers)
  } catch {
    return {}
  }
}

export function writeAnswers(answers: Answers): string {
  return JSON.stringify(answers)
}

function isWhole(given: Answer | undefined): boolean {
  return given !== undefined && (given.answer === 'done' || given.note.trim() !== '')
}

/** Lines that the signer answers for. */
export function asking(lines: HoldLine[]): HoldLine[] {
  return lines.filter(({ asks }) => asks !== '')
}

/** The lines that still want an answer, or the reason for one. */
export function open(lines: HoldLine[], answers: Answers): HoldLine[] {
  return asking(lines).filter(({ no }) => !isWhole(answers[no]))
}

/** What another signer has answered, line by line. */
export function asOf(lines: HoldLine[], person: string): Answers {
  const found: Answers = {}
  for (const { no, answers } of lines) {
    const his = answers.find((answer) => answer.person === person)
    if (his) found[no] = { answer: his.answer, note: his.note }
  }
  return found
}

/** How somebody signs, and from where. */
export interface Place {
  signs_as: string
  at: 'engine' | 'away'
}

/** The entry of a signature, but for the text that it showed. */
export function signedFact(view: HoldView, place: Place, answers: Answers, shown: string): Fact {
  const { uses, steps } = view.sign
  const lines = asking(view.lines).map(({ no, asks }) => ({
    line: no,
    words: asks,
    answer: answers[no]?.answer,
    note: answers[no]?.note.trim() ?? '',
  }))
  const body = { v: 1, hold: view.id, ...place, shown, uses, steps, lines, note: '' }
  return { build: view.build, kind: 'hold_signed', step: null, place: null, why: null, body }
}

export function openedFact(view: HoldView, reason: string): Fact {
  const body = { v: 1, hold: view.id, reason }
  return { build: view.build, kind: 'hold_opened', step: null, place: null, why: null, body }
}
