import { expect, it } from 'vitest'
import { readWords, writeWords } from './halfwords.ts'

it('reads half-typed words back, and takes nothing else for words', () => {
  expect(readWords(writeWords('gauge was cold'))).toBe('gauge was cold')
  expect(readWords(null)).toBe('')
  expect(readWords('gauge')).toBe('')
  expect(readWords('{"text":7}')).toBe('')
})
