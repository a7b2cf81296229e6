import { describe, expect, it } from 'vitest'
import type { Preview, Slip, ValueView } from '../brain/types.ts'
import { Answers, firstAsk, OUT } from './asks.ts'

const slip: Slip = { id: 'turn', message: 'Exactly one turn away.', offer: null }

function preview(more: Partial<Preview>): Preview {
  const plain = { error: null, value: null, slips: [], values: [], verdict: 'in', severity: null }
  return { ...plain, sentence: '', ask: false, ...more } as Preview
}

const out = { id: 'clearance', verdict: 'out', sentence: 'Out by 0.025.' } as ValueView

describe('what is asked before a reading is kept', () => {
  it('is nothing when the value is in and no slip is likely', () => {
    expect(firstAsk(preview({}), [], [])).toBeNull()
  })

  it('is the slip before the limit: a wrong digit is out for a reason that goes away', () => {
    const both = preview({ slips: [slip], ask: true, values: [out] })
    expect(firstAsk(both, [], [])).toEqual({ about: 'slip', slips: [slip] })
    expect(firstAsk(both, ['turn'], [])).toEqual({
      about: 'limit',
      verdict: 'out',
      sentence: 'Out by 0.025.',
    })
  })

  it('is one question for all slips that may have happened, each with its offer', () => {
    const other = { ...slip, offer: { text: '2.5578', unit: 'in' } }
    const both = preview({ slips: [slip, other], ask: true })
    expect(firstAsk(both, [], [])).toEqual({ about: 'slip', slips: [slip, other] })
  })

  it('is nothing once both were answered', () => {
    const both = preview({ slips: [slip], ask: true, values: [out] })
    expect(firstAsk(both, ['turn', OUT], [])).toBeNull()
  })

  it('is not a value that was out before this reading: that one is flagged already', () => {
    expect(firstAsk(preview({ ask: true, values: [out] }), [], ['clearance'])).toBeNull()
  })

  it('is no limit when only a slip was likely and that was answered', () => {
    const fine = { ...out, verdict: 'in' } as ValueView
    expect(firstAsk(preview({ slips: [slip], ask: true, values: [fine] }), ['turn'], [])).toBeNull()
  })
})

describe('answers', () => {
  it('hold for the same value in the same place and for no other', () => {
    const answers = new Answers()
    answers.add('a', { text: '2.60', unit: 'in' }, OUT)
    expect(answers.of('a', { text: '2.60', unit: 'in' })).toEqual([OUT])
    expect(answers.of('a', { text: '2.61', unit: 'in' })).toEqual([])
    expect(answers.of('a', { text: '2.60', unit: 'mm' })).toEqual([])
    expect(answers.of('b', { text: '2.60', unit: 'in' })).toEqual([])
  })
})
