import { expect, it } from 'vitest'
import type { BookEntry } from '../parts/seam.ts'
import { formOf, lastWritten, limitsOf, refuseStale } from './facts.ts'

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

it('says who wrote a kind of entry last, of one field where it is asked for', () => {
  const text = (id: string, field: string) =>
    JSON.stringify({
      id,
      kind: 'engine_value',
      body: { field },
      person: 'p',
      made_at: '2026-11-25',
    })
  const entries = [
    { text: text('1', 'bore'), sent: 'safe' },
    { text: text('2', 'stroke'), sent: 'safe' },
    { text: text('3', 'bore'), sent: 'held' },
  ] as BookEntry[]
  expect(lastWritten(entries, 'engine_value', 'bore')?.id).toBe('1')
  expect(lastWritten(entries, 'engine_value')?.id).toBe('2')
  expect(lastWritten(entries, 'limits_frozen')).toBeNull()
})

it('refuses what was begun on another entry than the one that stands now, and says by whom', () => {
  const now = { id: '2', person: 'p', at: '2026-11-25T08:00:00Z' }
  expect(() => refuseStale('1', now, 'The limits were')).toThrow(/changed meanwhile by/)
  expect(() => refuseStale(null, now, 'The limits were')).toThrow(/still here/)
  expect(() => refuseStale('1', null, 'The limits were')).toThrow()
  for (const [base, stands] of [
    ['2', now],
    [undefined, now],
    [null, null],
  ] as const)
    expect(() => refuseStale(base, stands, 'The limits were')).not.toThrow()
})
