import { expect, it } from 'vitest'
import type { BookEntry } from '../parts/seam.ts'
import { formOf, limitsOf } from './facts.ts'

function entry(kind: string, body: object, sent = 'safe'): BookEntry {
  return { text: JSON.stringify({ kind, body }), sent } as BookEntry
}

const book = [
  entry('engine_value', { field: 'bore', value: { text: '4.125', unit: 'in' } }),
  entry('engine_value', { field: 'bore', value: { text: '4.155', unit: 'in' } }),
  entry('engine_value', { field: 'bore', value: { text: '40', unit: 'in' } }, 'held'),
  entry('limits_frozen', { defaults: 'abc', cards: [] }),
  entry('limits_frozen', {
    defaults: 'abc',
    cards: [{ id: 'a', version: 1, title: 'Sheet', rows: [] }],
  }),
  entry('reading', {}),
]

it('takes the last value of each field, and none that the shop holds back', () => {
  expect(formOf(book)).toEqual({ bore: { text: '4.155', unit: 'in' } })
})

it('takes the last limits frozen', () => {
  expect(limitsOf(book).cards.map(({ title }) => title)).toEqual(['Sheet'])
  expect(limitsOf([])).toEqual({ defaults: null, cards: [] })
})
