import { expect, it } from 'vitest'
import { digitsSaid, lockedWords, missWords } from './pinwords.ts'

it('says how many tries are left after a wrong PIN, and what comes then', () => {
  expect(missWords('Jonas K.', 4)).toBe('Wrong PIN. 4 more tries, then Jonas K. is locked here.')
  expect(missWords('Jonas K.', 1)).toMatch(/^Wrong PIN\. One more try, /)
})

it('says who unlocks, or where a new PIN comes from when nobody here can', () => {
  expect(lockedWords('Jonas K.', ['Marta V.'])).toMatch(/A lead unlocks it here with the own PIN/)
  expect(lockedWords('Marta V.', [])).toMatch(/Ask at the desk for a new PIN/)
})

it('says the digits as a count, never as digits', () => {
  expect([0, 1, 6].map(digitsSaid)).toEqual(['No digit yet', '1 digit', '6 digits'])
})
