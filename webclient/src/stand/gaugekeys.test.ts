import { beforeEach, describe, expect, it, vi } from 'vitest'
import { GaugeKeys, type Hand, type Screen } from './gaugekeys.ts'

const NO_BOX: Screen = { taken: false, inBox: false, box: () => false }
const A_BOX: Screen = { taken: false, inBox: false, box: () => true }
const IN_BOX: Screen = { taken: false, inBox: true, box: () => true }
const TAKEN: Screen = { taken: true, inBox: false, box: () => true }
let typed: string
let card: boolean
let hand: Hand
let keys: GaugeKeys

beforeEach(() => {
  typed = ''
  card = true
  hand = {
    typeOnCard: (key) => {
      if (card) typed += key
      return card
    },
    enter: vi.fn(),
    stray: vi.fn(),
  }
  keys = new GaugeKeys(hand)
})

function type(digits: string, screen: Screen): boolean[] {
  return [...digits].map((key) => keys.press(key, screen))
}

describe('what a gauge types', () => {
  it('opens the place of the card that stands there, and its Enter keeps it', () => {
    expect(type('-0.016', NO_BOX)).not.toContain(false)
    expect(keys.press('Enter', NO_BOX)).toBe(true)
    expect(typed).toBe('-0.016')
    expect(hand.enter).toHaveBeenCalledTimes(1)
    expect(hand.stray).not.toHaveBeenCalled()
  })

  it('goes into the box by itself where one stands', () => {
    expect(type('0.016', A_BOX)).not.toContain(true)
    expect(keys.press('Enter', A_BOX)).toBe(false)
    expect(typed).toBe('')
  })

  it('presses no key where nothing is measured, and says what was typed', () => {
    card = false
    expect(type('65.2', NO_BOX)).not.toContain(false)
    expect(keys.press('Enter', NO_BOX)).toBe(true)
    expect(hand.stray).toHaveBeenCalledWith('65.2')
    expect(hand.enter).not.toHaveBeenCalled()
  })

  it('keeps no half of it when the card comes in the middle', () => {
    card = false
    type('0.0', NO_BOX)
    card = true
    type('16', NO_BOX)
    keys.press('Enter', NO_BOX)
    expect(typed).toBe('')
    expect(hand.stray).toHaveBeenCalledWith('0.016')
  })

  it('puts no half of it into a box that comes in the middle', () => {
    card = false
    type('0.0', NO_BOX)
    expect(type('16', IN_BOX)).not.toContain(false)
    expect(keys.press('Enter', IN_BOX)).toBe(true)
    expect(hand.stray).toHaveBeenCalledWith('0.016')
    expect(type('0.016', IN_BOX)).not.toContain(true)
  })

  it('keeps a digit that came on the card when the box takes the rest before Enter', () => {
    type('0', NO_BOX)
    type('.016', A_BOX)
    expect(keys.press('Enter', NO_BOX)).toBe(true)
    expect(hand.enter).toHaveBeenCalledTimes(1)
  })
})

describe('what is no gauge', () => {
  it('is left to the browser: Enter alone presses the key that has the caret', () => {
    expect(keys.press('Enter', NO_BOX)).toBe(false)
    expect(keys.press('Tab', NO_BOX)).toBe(false)
  })

  it('is left to a field or a sheet', () => {
    expect(type('12', TAKEN)).not.toContain(true)
    expect(keys.press('Enter', NO_BOX)).toBe(false)
  })

  it('ends what was begun: a thumb that taps means something else', () => {
    card = false
    type('12', NO_BOX)
    keys.forget()
    expect(keys.press('Enter', NO_BOX)).toBe(false)
  })
})
