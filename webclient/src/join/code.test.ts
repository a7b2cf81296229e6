import { describe, expect, it } from 'vitest'
import { codeIn, codeOf, isWhole, SIGNS, secondsOf, shownCode } from './code.ts'

describe('a one-time code', () => {
  it('is made of 32 signs, none of which is read as another', () => {
    expect(new Set(SIGNS).size).toBe(32)
    for (const sign of 'ILOU') expect(SIGNS).not.toContain(sign)
  })

  it('is read in small letters, with or without its dash, and with letters for the digits', () => {
    expect(codeOf('7k3f-9qpm')).toBe('7K3F9QPM')
    expect(codeOf(' 7K3F 9QPM ')).toBe('7K3F9QPM')
    expect(codeOf('OoIi-LlAB')).toBe('001111AB')
  })

  it('takes no more signs than it has, and none that are not of it', () => {
    expect(codeOf('7K3F-9QPM-XX')).toBe('7K3F9QPM')
    expect(codeOf('7u!é-ß')).toBe('7')
    expect(isWhole('7K3F9QPM')).toBe(true)
    expect(isWhole('7K3F9QP')).toBe(false)
  })

  it('shows its dash by itself, and only once there is something behind it', () => {
    expect(['', '7', '7K3F', '7K3F9', '7K3F9QPM'].map(shownCode)).toEqual([
      '',
      '7',
      '7K3F',
      '7K3F-9',
      '7K3F-9QPM',
    ])
    expect(codeOf(shownCode('7K3F9'))).toBe('7K3F9')
  })

  it('is found behind an address only where it stands whole and alone', () => {
    expect(codeIn('#7K3F9QPM')).toBe('7K3F9QPM')
    expect(codeIn('#7k3f-9qpm')).toBe('7K3F9QPM')
    for (const other of ['', '#', '#main', '#7K3F9QP', '#7K3F9QPMX', '#code=7K3F9QPM'])
      expect(codeIn(other)).toBe('')
  })
})

it('knows how long the shop asks to wait, where it says so', () => {
  expect(secondsOf({ code: 'join_locked', details: { seconds: 29.2 } })).toBe(30)
  for (const other of [null, new Error('x'), { details: {} }, { details: { seconds: 'soon' } }])
    expect(secondsOf(other)).toBeNull()
})
