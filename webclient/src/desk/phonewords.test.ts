import { describe, expect, it } from 'vitest'
import {
  type Device,
  deviceSays,
  goesOnAs,
  isCutOff,
  joinedSince,
  mayCutOff,
  worstDevices,
} from './phonewords.ts'

const phone = (id: string, more: Partial<Device> = {}): Device => ({
  id,
  name: '',
  count: 412,
  made: 412,
  unsent: 0,
  lost: 0,
  last_contact: '2026-01-01',
  replaced_by: null,
  ...more,
})

describe('what the desk says of a phone', () => {
  it('counts what is here, what was not here yet, and what never came with its numbers', () => {
    expect(deviceSays(phone('a'))).toEqual({ sign: 'safe', words: 'All 412 here.' })
    expect(deviceSays(phone('a', { made: 415, unsent: 3 })).words).toMatch(
      /^3 entries of 415 not here yet/,
    )
    const lost = deviceSays(phone('a', { made: 415, lost: 3, replaced_by: 'b' }))
    expect(lost.sign).toBe('WARN')
    expect(lost.words).toMatch(/^3 entries \(numbers 413 to 415\) never came/)
    expect(deviceSays(phone('a', { lost: 1, replaced_by: 'b' })).words).toMatch(
      /^1 entry \(number 413\)/,
    )
  })

  it('does not call all what it cannot know to be all', () => {
    expect(deviceSays(phone('a', { made: null }))).toEqual({
      sign: 'away',
      words: '412 entries here.',
    })
  })

  it('lets cut off only what has joined and is let in still', () => {
    const joined = phone('a', { joined_at: '2026-01-01', joined_by: 'p1' })
    const cut = phone('b', { ...joined, cut_off_at: '2026-01-02', cut_off_by: 'p1' })
    expect([phone('c'), phone('c', { joined_at: null }), joined, cut].map(mayCutOff)).toEqual([
      false,
      false,
      true,
      false,
    ])
    expect([joined, cut].map(isCutOff)).toEqual([false, true])
    expect(worstDevices([cut, joined])).toEqual([joined, cut])
  })

  it('notices which phone has joined since the code was made', () => {
    const old = phone('old', { joined_at: '2026-01-01' })
    const fresh = phone('new', { joined_at: '2026-01-02' })
    expect(joinedSince([old, phone('other')], ['old'])).toBeNull()
    expect(joinedSince([old, fresh], ['old'])).toBe(fresh)
  })

  it('lists what is lost first, what waits next, and what is in use no more last', () => {
    const list = [
      phone('gone', { replaced_by: 'new' }),
      phone('old'),
      phone('new', { last_contact: '2026-01-02', name: 'Phone at stand 1' }),
      phone('waits', { unsent: 1 }),
      phone('lost', { lost: 2, replaced_by: 'new' }),
    ]
    expect(worstDevices(list).map(({ id }) => id)).toEqual(['lost', 'waits', 'new', 'old', 'gone'])
    expect(goesOnAs(list[0] as Device, list)).toBe('Phone at stand 1')
    expect(goesOnAs(list[1] as Device, list)).toBeNull()
  })
})
