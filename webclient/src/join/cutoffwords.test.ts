import { expect, it } from 'vitest'
import { unsentHere } from './cutoffwords.ts'

it('counts what lies on a cut-off device only, its own and what it carries for others', () => {
  expect(unsentHere({ unsent: 2, carried: 1, photos: 1 })).toMatch(
    /^Here only: 3 entries and 1 picture\. Nothing of it is lost/,
  )
})

it('says that nothing is missing only where nothing waits', () => {
  const none = { unsent: 0, carried: 0, photos: 0 }
  expect(unsentHere(none)).toBe('The shop has everything that was recorded here.')
  expect(unsentHere({ ...none, photos: 1 })).toMatch(/^Here only/)
})
