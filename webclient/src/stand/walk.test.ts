import { describe, expect, it } from 'vitest'
import type { PlaceView, ReadingView, StepView } from '../brain/types.ts'
import {
  emptyTemperature,
  lastReadings,
  neighbour,
  nextPlace,
  reopenOn,
  wantsHand,
} from './walk.ts'

function reading(text: string, made_at: string, live = true): ReadingView {
  const shown = { text, unit: 'in', echo: '', words: `${text} in` }
  return { id: text + made_at, shown, made_at, live } as ReadingView
}

function place(id: string, more: Partial<PlaceView> = {}): PlaceView {
  return {
    id,
    kind: 'length',
    required: true,
    accepted: null,
    readings: [],
    asked_again: null,
    not_measured: null,
    ...more,
  } as PlaceView
}

function step(places: PlaceView[], next: string | null = null): StepView {
  const groups = [{ id: 'all', words: 'All', places, aside: false, values: [] }]
  return { groups, walk: places.map(({ id }) => id), next } as unknown as StepView
}

const done = { readings: [reading('2.5758', '2026-11-25T08:00:00.000Z')] }

describe('the next place', () => {
  it('is the next empty one in walking order, not the first of all', () => {
    const view = step([place('a'), place('b', done), place('c', done), place('d')])
    expect(nextPlace(view, 'b')).toBe('d')
  })

  it('turns back to one that was skipped over', () => {
    expect(nextPlace(step([place('a'), place('b', done), place('c')]), 'c')).toBe('a')
  })

  it('leaves out the one recorded a moment ago, which the view may not know yet', () => {
    expect(nextPlace(step([place('a'), place('b')]), 'a', ['a'])).toBe('b')
    expect(nextPlace(step([place('a')]), null, ['a'])).toBeNull()
  })

  it('passes places that need not be filled, and answered ones', () => {
    const view = step([place('a', { required: false }), place('b', { not_measured: 'no gauge' })])
    expect(nextPlace(view, null)).toBeNull()
  })

  it('returns to a filled place that the lead asked again', () => {
    expect(wantsHand(place('a', { ...done, asked_again: 'with the other gauge' }))).toBe(true)
  })

  it('counts a struck-out reading as none', () => {
    const struck = { readings: [reading('2.6', '2026-11-25T08:00:00.000Z', false)] }
    expect(wantsHand(place('a', struck))).toBe(true)
  })
})

describe('reopening', () => {
  it('stands on the half-typed place before the next empty one', () => {
    expect(reopenOn(step([place('a'), place('b'), place('c')], 'a'), ['c'])).toBe('c')
  })

  it('stands on the place that the brain names next', () => {
    expect(reopenOn(step([place('a'), place('b')], 'b'), [])).toBe('b')
  })

  it('forgets the draft of a place that is no longer there', () => {
    expect(reopenOn(step([place('a')], 'a'), ['gone'])).toBe('a')
  })
})

describe('walking by hand', () => {
  it('goes to the neighbour and stays at the ends', () => {
    const view = step([place('a'), place('b')])
    expect(neighbour(view, 'a', 1)).toBe('b')
    expect(neighbour(view, 'b', 1)).toBe('b')
    expect(neighbour(view, 'a', -1)).toBe('a')
  })
})

describe('the temperature', () => {
  it('is asked where the step has an empty place for it', () => {
    const empty = place('room', { kind: 'temperature', required: false })
    expect(emptyTemperature(step([place('a'), empty]))?.id).toBe('room')
    expect(emptyTemperature(step([place('a')]))).toBeNull()
  })

  it('is not asked where it stands or was skipped', () => {
    const read = place('room', { ...done, kind: 'temperature' })
    const skipped = place('room', { kind: 'temperature', not_measured: 'no gauge' })
    expect(emptyTemperature(step([read]))).toBeNull()
    expect(emptyTemperature(step([skipped]))).toBeNull()
  })
})

describe('the last values', () => {
  it('come newest first, without struck-out ones and without other kinds', () => {
    const view = step([
      place('a', { readings: [reading('1', '2026-01-01T00:00:00.000Z')] }),
      place('b', { readings: [reading('2', '2026-01-03T00:00:00.000Z', false)] }),
      place('c', { readings: [reading('3', '2026-01-02T00:00:00.000Z')] }),
      place('d', { kind: 'temperature', readings: [reading('70', '2026-01-09T00:00:00.000Z')] }),
    ])
    expect(lastReadings(view, 'length', 3).map((r) => r.shown?.text)).toEqual(['3', '1'])
  })
})
