import { describe, expect, it } from 'vitest'
import type { EngineField } from '../brain/types.ts'
import type { Fact } from '../parts/write.ts'
import { EMPTY_OPENING, openingFacts, Writing } from './opening.ts'

const bore = { field: 'bore', kind: 'length', unit: 'in', when: {} } as unknown as EngineField

describe('opening a build', () => {
  it('writes the build, its limits and each typed value, in that order', () => {
    const opening = { ...EMPTY_OPENING, job: ' 12 ', form: { bore: { text: '4.125', unit: 'in' } } }
    const facts = openingFacts('b', opening, 'hash', [bore])
    expect(facts.map(({ kind }) => kind)).toEqual(['build_opened', 'limits_frozen', 'engine_value'])
    expect(facts[0]?.body).toEqual({ v: 1, job: '12', title: '', note: '' })
    expect(facts[1]?.body).toEqual({ v: 1, defaults: 'hash', cards: [] })
    expect(facts[2]?.body).toMatchObject({ field: 'bore', value: { text: '4.125', unit: 'in' } })
  })

  it('goes on after a failure where it stopped, and writes nothing twice', async () => {
    const written: string[] = []
    let full = true
    const facts = ['a', 'b', 'c'].map((kind) => ({ kind }) as Fact)
    const writing = new Writing(facts, async ({ kind }) => {
      if (kind === 'b' && full) throw new Error('full')
      written.push(kind)
    })
    await expect(writing.goOn()).rejects.toThrow('full')
    full = false
    await writing.goOn()
    expect(written).toEqual(['a', 'b', 'c'])
  })
})
