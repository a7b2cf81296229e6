import { describe, expect, it } from 'vitest'
import type { EngineField } from '../brain/types.ts'
import { isAsked, rawOf, valueIn, valuesOf } from './engineform.ts'

function field(
  name: string,
  kind: EngineField['kind'],
  more: Partial<EngineField> = {},
): EngineField {
  const plain = {
    words: name,
    required: true,
    unit: null,
    units: [],
    choices: [],
    help: '',
    when: {},
  }
  return { field: name, kind, ...plain, ...more }
}

const typed = (text: string, unit: string | null = null) => ({ text, unit })

describe('a field of the specification', () => {
  it('keeps a quantity as it was typed, with the picked or the usual unit', () => {
    const bore = field('bore', 'length', { unit: 'in', units: ['in', 'mm'] })
    expect(valueIn(bore, typed('104.775', 'mm'))).toEqual({ text: '104.775', unit: 'mm' })
    expect(valueIn(bore, typed('4.125'))).toEqual({ text: '4.125', unit: 'in' })
  })

  it('reads an order with dashes, commas or blanks', () => {
    const order = field('firing_order', 'order')
    expect(valueIn(order, typed('1-8-4-3-6-5-7-2'))).toEqual([1, 8, 4, 3, 6, 5, 7, 2])
    expect(valueIn(order, typed('1, 3,4 2'))).toEqual([1, 3, 4, 2])
  })

  it('hands on what is no order as it was typed, for the brain to say so', () => {
    const order = field('firing_order', 'order')
    expect(valueIn(order, typed('1-x-3'))).toBe('1-x-3')
    expect(valueIn(order, typed('1-1.5'))).toBe('1-1.5')
  })

  it('reads pairs and rows by lines or semicolons', () => {
    expect(valueIn(field('rod_journals', 'pairs'), typed('1-2; 3-4'))).toEqual([
      [1, 2],
      [3, 4],
    ])
    expect(valueIn(field('numbering', 'table'), typed('1-3\n2-4\n'))).toEqual([
      [1, 3],
      [2, 4],
    ])
  })
})

describe('the form', () => {
  const fields = [
    field('layout', 'choice'),
    field('bank_angle', 'angle', { unit: 'deg', when: { layout: ['vee', 'flat'] } }),
    field('bore', 'length', { unit: 'in' }),
  ]

  it('asks only what this engine has', () => {
    expect(isAsked(fields[1] as EngineField, { layout: typed('vee') })).toBe(true)
    expect(isAsked(fields[1] as EngineField, { layout: typed('inline') })).toBe(false)
    expect(isAsked(fields[1] as EngineField, {})).toBe(false)
  })

  it('gives the brain what is typed and asked for, and nothing else', () => {
    const form = { layout: typed('inline'), bank_angle: typed('90'), bore: typed(' ') }
    expect(valuesOf(fields, form)).toEqual({ layout: 'inline' })
  })

  it('writes a value of the book as it would be typed again', () => {
    expect(rawOf({ text: '4.125', unit: 'in' })).toEqual(typed('4.125', 'in'))
    expect(rawOf([1, 8, 4])).toEqual(typed('1-8-4'))
    expect(
      rawOf([
        [1, 3],
        [2, 4],
      ]),
    ).toEqual(typed('1-3\n2-4'))
    expect(rawOf('iron')).toEqual(typed('iron'))
  })
})
