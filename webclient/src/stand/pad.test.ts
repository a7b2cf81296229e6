import { describe, expect, it } from 'vitest'
import { BACK, KEYS, type Key, POINT, press } from './pad.ts'

const typed = (keys: string) => [...keys].reduce((text, key) => press(text, key as Key), '')

describe('the pad', () => {
  it('has three columns by four rows of different keys', () => {
    expect(new Set(KEYS).size).toBe(12)
  })

  it('writes what was pressed, in order', () => {
    expect(typed('2.5758')).toBe('2.5758')
    expect(typed('.016')).toBe('.016')
    expect(typed('007')).toBe('007')
  })

  it('takes one point and ignores a second one', () => {
    expect(typed('2.57.58')).toBe('2.5758')
    expect(press('2,5', POINT)).toBe('2,5')
  })

  it('takes back the last digit, and nothing from an empty box', () => {
    expect(press('2.57', BACK)).toBe('2.5')
    expect(press('', BACK)).toBe('')
  })

  it('does not fill the box for ever under a resting thumb', () => {
    const full = '1'
      .repeat(40)
      .split('')
      .reduce((text) => press(text, '1'), '')
    expect(full).toHaveLength(14)
    expect(press(full, BACK)).toHaveLength(13)
  })
})
