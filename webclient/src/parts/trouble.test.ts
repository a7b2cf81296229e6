import { expect, it } from 'vitest'
import { troubleOf } from './trouble.ts'

it('hands on the words of a failure that has its own', () => {
  const failure = Object.assign(new Error('The phone is full.'), { code: 'quota' })
  expect(troubleOf(failure)).toEqual({ code: 'quota', message: 'The phone is full.' })
})

it('says of an unforeseen failure that the digits are still there', () => {
  expect(troubleOf(new TypeError('x is undefined')).message).toMatch(/digits are still here/)
  expect(troubleOf('?').code).toBe('unforeseen')
})
