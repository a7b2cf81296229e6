import { expect, it } from 'vitest'
import { keptVerdict, verdictWords } from './verdictwords.ts'

it('says "in limits", because "0.018 in, in" is read as inches', () => {
  expect(verdictWords('in')).toBe('in limits')
  expect(verdictWords('in, close')).toBe('in limits, close')
  expect(verdictWords('out')).toBe('out')
  expect(keptVerdict('in')).toBe('in limits')
})

it('says nothing of a kept reading that is not judged', () => {
  expect(keptVerdict('shown')).toBeNull()
  expect(keptVerdict('cannot judge')).toBeNull()
  expect(keptVerdict(null)).toBeNull()
})
