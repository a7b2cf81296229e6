import { expect, it } from 'vitest'
import { isLow } from './room.ts'

it('takes a small phone and a large text for the same case', () => {
  expect(isLow(844, 16)).toBe(false)
  expect(isLow(740, 16)).toBe(false)
  expect(isLow(739, 16)).toBe(true)
  expect(isLow(844, 32)).toBe(true)
  expect(isLow(900, 16)).toBe(false)
})
