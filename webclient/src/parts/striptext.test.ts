import { describe, expect, it } from 'vitest'
import { type StripFacts, stripExplains, stripSays } from './striptext.ts'

const now = new Date(2026, 10, 25, 14, 2)
const quiet: StripFacts = {
  unsent: 0,
  held: 0,
  safe: 0,
  lastContact: null,
  online: false,
  persisted: true,
  problem: null,
  allSafe: false,
}
const says = (more: Partial<StripFacts>) => stripSays({ ...quiet, ...more }, now)

describe('the strip', () => {
  it('is good only when the shop has everything', () => {
    const contact = { safe: 412, lastContact: now.getTime() - 60_000 }
    expect(says({ ...contact, allSafe: true }).sign).toBe('safe')
    expect(says({ ...contact, allSafe: true }).words).toBe('All 412 safe · shop seen 1 min ago')
    expect(says({ ...contact, unsent: 1 }).sign).toBe('unsent')
    expect(says(contact).sign).not.toBe('safe')
  })

  it('speaks of what is held back before what is unsent', () => {
    expect(says({ held: 1, unsent: 5 }).words).toMatch(/^1 held back/)
  })

  it('says when the shop was never reached', () => {
    expect(says({ unsent: 3 }).words).toBe('3 unsent · shop not seen yet')
  })

  it('explains at length, the trouble of the last try included', () => {
    const lines = stripExplains({
      ...quiet,
      unsent: 2,
      problem: 'The shop is full.',
      persisted: false,
    })
    expect(lines.join(' ')).toMatch(/2 of your entries.*no network.*may clear its storage.*full/)
  })
})
