import { describe, expect, it } from 'vitest'
import { ago, day, moment } from './when.ts'

const now = new Date(2026, 10, 25, 14, 2)

describe('times in words', () => {
  it('gives the clock alone on the same day', () => {
    expect(moment(new Date(2026, 10, 25, 9, 5).toISOString(), now)).toBe('09:05')
  })

  it('adds the day, and the year only when it is another', () => {
    expect(moment(new Date(2026, 1, 3, 9, 5).toISOString(), now)).toBe('3 Feb, 09:05')
    expect(moment(new Date(2025, 11, 31, 23, 59).toISOString(), now)).toBe('31 Dec 2025, 23:59')
  })

  it('does not fall over a time that is none', () => {
    expect(moment('yesterday', now)).toBe('at an unknown time')
  })

  it('counts minutes up to an hour', () => {
    expect(ago(now.getTime() - 20_000, now)).toBe('just now')
    expect(ago(now.getTime() - 4 * 60_000, now)).toBe('4 min ago')
    expect(ago(now.getTime() - 60 * 60_000, now)).toBe('13:02')
  })

  it('names the day by the own clock', () => {
    expect(day(new Date(2026, 0, 2, 23, 59))).toBe('2026-01-02')
  })
})
