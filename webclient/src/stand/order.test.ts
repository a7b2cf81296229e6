import { describe, expect, it } from 'vitest'
import type { State } from '../brain/types.ts'
import { mineFirst, stageOf, steady } from './order.ts'

function engine(build: string, person: string, at: string): State {
  return {
    build,
    last_touch: { at, person, words: '' },
    stages: [],
    next: null,
  } as unknown as State
}

describe('the engines', () => {
  it('are mine first, then the last touched', () => {
    const engines = [
      engine('old', 'me', '1'),
      engine('theirs', 'you', '3'),
      engine('new', 'me', '2'),
    ]
    expect(mineFirst(engines, (person) => person === 'me').map(({ build }) => build)).toEqual([
      'new',
      'old',
      'theirs',
    ])
    expect(engines[0]?.build).toBe('old')
  })

  it('keep their places while the screen stands, and one that arrives stands below them', () => {
    const list = [engine('c', 'me', '3'), engine('b', 'me', '2'), engine('a', 'me', '1')]
    const builds = (found: State[]) => found.map(({ build }) => build)
    expect(builds(steady(list, ['a', 'b', 'c']))).toEqual(['a', 'b', 'c'])
    expect(builds(steady(list, ['a', 'b']))).toEqual(['a', 'b', 'c'])
    expect(builds(steady(list, ['a', 'gone']))).toEqual(['a', 'c', 'b'])
    expect(builds(steady(list, []))).toEqual(['c', 'b', 'a'])
  })

  it('stand in the stage where the next place lies', () => {
    const stages = [
      { id: '1', title: 'Inspection', steps: [{ id: 'a', state: 'accepted' }] },
      {
        id: '2',
        title: 'Trial assembly, until it is accepted',
        steps: [{ id: 'b', state: 'not started' }],
      },
    ]
    const state = { stages, next: { step: 'b', place: 'p', words: '' } } as unknown as State
    expect(stageOf(state)).toBe('Trial assembly')
    expect(stageOf({ ...state, next: null })).toBe('Inspection')
  })
})
