import { describe, expect, it } from 'vitest'
import { rawCard, readCard, rowsOf, withCard, wrongRow } from './cards.ts'

const known = [
  { key: 'main_clearance', unit: 'in' },
  { key: 'main_clearance_spread', unit: 'in' },
]

describe('a spec card', () => {
  it('has a row for each limit with a number at one end or both', () => {
    const raw = {
      title: 'Main bearing sheet',
      ends: {
        'main_clearance low': '0.053',
        'main_clearance high': ' 0.079 ',
        'main_clearance_spread low': ' ',
      },
      units: { main_clearance: 'mm' },
    }
    expect(rowsOf(raw, known)).toEqual([
      {
        key: 'main_clearance',
        low: { text: '0.053', unit: 'mm' },
        high: { text: '0.079', unit: 'mm' },
      },
    ])
  })

  it('is told what is wrong with a row before it is kept', () => {
    const told = (low: string | null, high: string | null) => {
      const typed = (text: string | null) => (text === null ? null : { text, unit: 'in' })
      const row = { key: 'main_clearance', low: typed(low), high: typed(high) }
      return wrongRow([row], [{ key: 'main_clearance', words: 'main clearance' }])
    }
    expect(told('2.7402', '0.0040')).toContain('main clearance: from is more than to')
    expect(told('0.002', 'x')).toContain('main clearance: type digits')
    expect(told('0,0020', '0.0030')).toBeNull()
    expect(told('0.0020', '0.0020')).toBeNull()
    expect(told(null, '0.0030')).toBeNull()
  })

  it('is added as version 1 and keeps the others in force', () => {
    const cards = withCard([], { id: 'a', title: 'Sheet', rows: [] })
    expect(cards).toEqual([{ id: 'a', version: 1, title: 'Sheet', rows: [] }])
    expect(withCard(cards, { id: 'b', title: 'Cam card', rows: [] })).toHaveLength(2)
  })

  it('replaces one of the same title by its next version', () => {
    const cards = withCard([{ id: 'a', version: 2, title: 'Sheet', rows: [] }], {
      id: 'b',
      title: 'Sheet',
      rows: [],
    })
    expect(cards).toEqual([{ id: 'a', version: 3, title: 'Sheet', rows: [] }])
  })
})

describe('a card in the form', () => {
  it('comes back as the rows it was made from', () => {
    const rows = [
      { key: 'main_clearance', low: { text: '0.053', unit: 'mm' }, high: null },
      { key: 'main_clearance_spread', low: null, high: { text: '0.0005', unit: 'in' } },
    ]
    const raw = rawCard({ id: 'a', version: 2, title: 'Sheet', rows })
    expect(rowsOf(raw, known)).toEqual(rows)
  })

  it('is empty where its draft is none', () => {
    expect(readCard('')).toEqual({ title: '', ends: {}, units: {} })
    expect(readCard('{"title":"Sheet","base":"7"}')).toMatchObject({ title: 'Sheet', base: '7' })
  })
})
