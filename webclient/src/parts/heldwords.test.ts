import { describe, expect, it } from 'vitest'
import { readEntry, whatItSays, whoAndWhere } from './heldwords.ts'

const says = (fields: object) => whatItSays(readEntry(JSON.stringify(fields)))

describe('an entry that was kept back', () => {
  it('says what it was, with its value', () => {
    const value = { text: '2.5497', unit: 'in' }
    expect(says({ kind: 'reading', body: { value } })).toBe('A reading: 2.5497 in')
    expect(says({ kind: 'reading', body: { value: null, not_measured: 'no gauge' } })).toBe(
      'A reading: not measured, because no gauge',
    )
    expect(says({ kind: 'decision', body: { reason: 'fits the shell' } })).toBe(
      'A decision: fits the shell',
    )
    expect(says({ kind: 'engine_value', body: { value: 'iron' } })).toBe(
      'A value of the engine: iron',
    )
  })

  it('is an entry all the same where nobody can read it', () => {
    expect(says({ kind: 'of a later version' })).toBe('An entry')
    expect(whatItSays(readEntry('{"kind"'))).toBe('An entry')
    expect(whatItSays(readEntry('7'))).toBe('An entry')
    expect(whatItSays(readEntry(null))).toBe('An entry')
  })

  it('says who made it and where, as far as that is known', () => {
    const nameOf = (person: string) => (person === 'p' ? 'Jonas K.' : person)
    const where = (build: string) => (build === 'b' ? 'T-301 Crank journals' : null)
    expect(whoAndWhere({ person: 'p', build: 'b' }, { nameOf, where })).toBe(
      'Jonas K., T-301 Crank journals',
    )
    expect(whoAndWhere({ person: 'q', build: 'c' }, { nameOf, where })).toBe('q')
  })
})
