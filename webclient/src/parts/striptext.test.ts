import { describe, expect, it } from 'vitest'
import { type StripFacts, stripExplains, stripSays } from './striptext.ts'

const now = new Date(2026, 10, 25, 14, 2)
const quiet: StripFacts = {
  unsent: 0,
  held: 0,
  safe: 0,
  photos: 0,
  photosRefused: 0,
  carried: 0,
  lastContact: null,
  online: false,
  persisted: true,
  trust: 'unknown',
  problem: null,
  pinOf: [],
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
      photos: 1,
      carried: 4,
      problem: 'The shop is full.',
    })
    expect(lines.join(' ')).toMatch(
      /2 of your entries.*1 picture is on the way.*4 entries of another phone.*no network.*full/,
    )
  })

  it('says first whose PIN the shop waits for, since all else waits behind it', () => {
    const facts = { unsent: 3, held: 1, pinOf: ['Marta V.', 'Jonas K.'] }
    const seen = { lastContact: now.getTime() - 60_000 }
    expect(says({ ...facts, ...seen })).toEqual({
      sign: 'WARN',
      words: 'PIN of Marta V. and Jonas K. wanted · shop seen 1 min ago',
    })
  })

  it('counts pictures and what it brings for others as unsent', () => {
    const contact = { safe: 9, lastContact: now.getTime() - 60_000 }
    expect(says({ ...contact, photos: 2 }).words).toBe('2 pictures unsent · shop seen 1 min ago')
    expect(says({ ...contact, unsent: 1, carried: 3 }).words).toMatch(
      /^1 entry, 3 of another phone unsent/,
    )
  })

  it('never calls all safe while the shop does not take a picture', () => {
    const contact = { safe: 9, allSafe: true, lastContact: now.getTime() - 60_000 }
    expect(says({ ...contact, photosRefused: 1 })).toEqual({
      sign: 'WARN',
      words: '1 picture not taken by the shop · shop seen 1 min ago',
    })
    const lines = stripExplains({ ...quiet, photosRefused: 2 })
    expect(lines.join(' ')).toMatch(/2 pictures could not be taken.*take the picture once more/)
  })

  it('gives the receipt in words when the shop has everything', () => {
    expect(stripExplains({ ...quiet, safe: 412, allSafe: true })).toContain(
      'All 412 of my entries are at the shop.',
    )
  })

  it.each([
    ['not joined', 'Not joined to the shop', /does not know this phone.*Ask a lead for a code/],
    ['cut off', 'Cut off from the shop', /has cut this phone off.*join it with a new code/],
  ] as const)('says before all else that it is %s, and that work is safe', (trust, words, why) => {
    const facts = { trust, unsent: 3, held: 1, lastContact: now.getTime() - 60_000 }
    expect(says(facts)).toEqual({ sign: 'WARN', words: `${words}, 3 unsent · shop seen 1 min ago` })
    const lines = stripExplains({ ...quiet, ...facts, problem: 'In the words of the shop.' })
    expect(lines.join(' ')).toMatch(why)
    expect(lines.join(' ')).toMatch(/safe on this phone: 3 entries.*write it to a file/)
    expect(lines.join(' ')).not.toMatch(/no network|In the words of the shop|by themselves/)
  })

  it('says so in few words when nothing waits', () => {
    expect(says({ trust: 'cut off', safe: 9, allSafe: true }).words).toMatch(
      /^Cut off from the shop ·/,
    )
    expect(stripExplains({ ...quiet, trust: 'not joined' })).toHaveLength(1)
  })
})
