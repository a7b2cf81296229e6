import { describe, expect, it } from 'vitest'
import { secondsLeft } from './wait.ts'

const SINCE = '2026-11-25T08:00:00.000Z'
const wait = { minutes: 30, since: SINCE }
const at = (seconds: number) => Date.parse(SINCE) + seconds * 1000

describe('a wait', () => {
  it('counts down from the last valve and ends at nothing', () => {
    expect(secondsLeft(wait, at(0))).toBe(1800)
    expect(secondsLeft(wait, at(55))).toBe(1745)
    expect(secondsLeft(wait, at(1800))).toBe(0)
    expect(secondsLeft(wait, at(9000))).toBe(0)
  })

  it('is never longer than it is, whatever the clock of the phone did', () => {
    expect(secondsLeft(wait, at(-600))).toBe(1800)
    expect(secondsLeft({ ...wait, since: '' }, at(0))).toBe(1800)
  })
})
