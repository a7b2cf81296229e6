import { describe, expect, it } from 'vitest'
import type { HoldLine, HoldView } from '../brain/types.ts'
import { asOf, open, openedFact, readAnswers, signedFact, writeAnswers } from './holdanswers.ts'

function line(no: number, asks: string, by: HoldLine['answers'] = []): HoldLine {
  return { no, asks, steps: [], answers: by }
}

const LINES = [
  line(1, 'job opened', [{ person: 'Bo B.', answer: 'done', note: '', words: 'done' }]),
  line(2, 'engine that comes back'),
  line(6, ''),
]
const VIEW = {
  build: 'b',
  id: 'parts_accepted',
  lines: LINES,
  sign: { ready: true, missing: [], uses: ['r1'], steps: ['journals'], shown: '{}' },
} as unknown as HoldView

describe('answers before a Hold is signed', () => {
  it('are wanted for each line that asks, and a line left out wants its reason', () => {
    expect(open(LINES, {}).map(({ no }) => no)).toEqual([1, 2])
    const given = {
      1: { answer: 'done' as const, note: '' },
      2: { answer: 'not_in_job' as const, note: ' ' },
    }
    expect(open(LINES, given).map(({ no }) => no)).toEqual([2])
  })

  it('come back as they were left, and half a text is none', () => {
    const given = { 2: { answer: 'not_in_job' as const, note: 'never ran' } }
    expect(readAnswers(writeAnswers(given))).toEqual(given)
    expect(readAnswers('{"2":{')).toEqual({})
    expect(readAnswers('')).toEqual({})
  })

  it('can be those of another signer, line by line', () => {
    expect(asOf(LINES, 'Bo B.')).toEqual({ 1: { answer: 'done', note: '' } })
    expect(asOf(LINES, 'Lea D.')).toEqual({})
  })
})

describe('the entry', () => {
  it('binds what the Hold rests on, with the words that were answered', () => {
    const given = {
      1: { answer: 'done' as const, note: '' },
      2: { answer: 'not_in_job' as const, note: 'new engine ' },
    }
    const fact = signedFact(VIEW, { signs_as: 'lead', at: 'away' }, given, 'abc')
    expect(fact).toMatchObject({ build: 'b', kind: 'hold_signed', step: null, place: null })
    expect(fact.body).toEqual({
      v: 1,
      hold: 'parts_accepted',
      signs_as: 'lead',
      at: 'away',
      shown: 'abc',
      uses: ['r1'],
      steps: ['journals'],
      lines: [
        { line: 1, words: 'job opened', answer: 'done', note: '' },
        { line: 2, words: 'engine that comes back', answer: 'not_in_job', note: 'new engine' },
      ],
      note: '',
    })
  })

  it('that opens it again says why', () => {
    expect(openedFact(VIEW, 'a rod is exchanged')).toMatchObject({
      kind: 'hold_opened',
      body: { v: 1, hold: 'parts_accepted', reason: 'a rod is exchanged' },
    })
  })
})
