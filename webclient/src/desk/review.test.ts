import { describe, expect, it } from 'vitest'
import type { Flag, PlaceView, State, StepView, ValueView } from '../brain/types.ts'
import {
  besideOf,
  decided,
  holdsForLead,
  keepChoice,
  type Subject,
  settled,
  subjectOf,
  type Waiting,
  waitingForLead,
} from './review.ts'

function flag(id: string, severity: string, more: Partial<Flag> = {}): Flag {
  return {
    id,
    severity,
    open: true,
    step: 's',
    about: id,
    place: 'p',
    sort: 'out',
    ...more,
  } as Flag
}

function state(build: string, at: string, flags: Flag[], holds: object[] = []): State {
  const stages = [{ id: 'st', title: 'Stage', steps: [{ id: 's', title: 'Crank journals' }] }]
  return {
    build,
    job: build,
    title: '',
    flags,
    stages,
    holds,
    last_touch: { at },
  } as unknown as State
}

describe('what waits for the lead', () => {
  it('is worst first over all builds, and within one severity the last touched build first', () => {
    const list = waitingForLead([
      state('old', '2026-01-01', [flag('a', 'WARN'), flag('b', 'STOP')]),
      state('new', '2026-01-02', [flag('c', 'HOLD'), flag('d', 'WARN')]),
    ])
    expect(list.map((item) => item.flag.id)).toEqual(['b', 'c', 'd', 'a'])
    expect(list[0]?.stepTitle).toBe('Crank journals')
  })

  it('puts what is out of limits before what was only begun too early', () => {
    const flags = [
      flag('begun', 'WARN', { sort: 'order' }),
      flag('close', 'WARN', { sort: 'close' }),
      flag('out', 'WARN', { sort: 'out' }),
      flag('stop', 'STOP', { sort: 'order' }),
    ]
    const list = waitingForLead([state('new', '2', flags), state('old', '1', [flags[2] as Flag])])
    expect(list.map((item) => item.flag.id)).toEqual(['stop', 'out', 'out', 'close', 'begun'])
    expect(list.map((item) => item.build)).toEqual(['new', 'new', 'old', 'new', 'new'])
  })

  it('has the Holds that want nothing but a lead', () => {
    const holds = [
      { id: 'one', waits_for: ['lead'] },
      { id: 'two', waits_for: ['builder'] },
      { id: 'three', waits_for: [] },
      { id: 'four', waits_for: ['builder', 'lead'] },
    ]
    const found = holdsForLead([state('x', '1', [], holds), state('y', '2', [])])
    expect(found.map(({ state, hold }) => [state.build, hold.id])).toEqual([
      ['x', 'one'],
      ['x', 'four'],
    ])
  })

  it('leaves out what is answered', () => {
    expect(waitingForLead([state('x', '1', [flag('a', 'WARN', { open: false })])])).toEqual([])
  })

  it('names an engine flag by the engine', () => {
    const list = waitingForLead([state('x', '1', [flag('a', 'WARN', { step: null })])])
    expect(list[0]?.stepTitle).toBe('Engine')
  })

  it('keeps the same item chosen, else the one that moved into its place', () => {
    const list = ['a', 'b', 'c'].map((key) => ({ key }) as Waiting)
    expect(keepChoice(list, 'b', 0)).toBe(1)
    expect(keepChoice(list, 'gone', 1)).toBe(1)
    expect(keepChoice(list, 'gone', 9)).toBe(2)
    expect(keepChoice([], null, 3)).toBe(0)
  })
})

const limits = [{ words: 'main clearance', band: '0.0021 to 0.0031 in', source: 'spec card' }]
const shown = { text: '0.0036', unit: 'in', echo: '', words: '0.0036 in' }
const value = {
  id: 'MB2.c',
  short: 'oil clearance',
  uses: ['MB2.V'],
  limits,
  shown,
} as unknown as ValueView

function place(id: string, short: string, words: string | null = null): PlaceView {
  const group = id.slice(0, 3)
  return {
    id,
    short,
    group,
    kind: 'length',
    accepted: words && { words },
    readings: [],
  } as unknown as PlaceView
}

describe('what a flag speaks about', () => {
  const other = {
    id: 'MB3.c',
    short: 'oil clearance',
    uses: [],
    shown: { words: '0.0026 in' },
    verdict: 'in',
  } as unknown as ValueView
  const round = { id: 'MB3.e', short: 'eccentricity', uses: [] } as unknown as ValueView
  const view = {
    values: [],
    groups: [
      {
        id: 'MB2',
        words: 'Main 2',
        places: [place('MB2.V', 'upright'), place('MB2.P1', 'leaning left')],
        values: [value],
      },
      {
        id: 'MB3',
        words: 'Main 3',
        places: [place('MB3.V', 'upright'), place('MB3.P1', 'leaning left', '0.0030 in')],
        values: [other, round],
      },
      {
        id: 'RB3',
        words: 'Rod 3',
        places: [place('RB3.P1', 'leaning left', '0.0031 in')],
        values: [],
      },
      { id: 'MB4', words: 'Main 4', places: [place('MB4.P1', 'leaning left')], values: [] },
    ],
  } as unknown as StepView

  it('is its value with the places it rests on and the same value of the neighbours', () => {
    const subject = subjectOf(view, flag('f', 'WARN', { about: 'MB2.c' }))
    expect(subject.value?.id).toBe('MB2.c')
    expect(subject.places.map(({ id }) => id)).toEqual(['MB2.V'])
    expect(subject.neighbours).toEqual([
      { id: 'MB3.c', group: 'Main 3', words: '0.0026 in', verdict: 'in' },
    ])
  })

  it('is its place where no value is named, with what the same place says elsewhere', () => {
    const subject = subjectOf(view, flag('f', 'HOLD', { about: 'disagree', place: 'MB2.P1' }))
    expect(subject.value).toBeNull()
    expect(subject.places.map(({ id }) => id)).toEqual(['MB2.P1'])
    expect(subject.neighbours).toEqual([
      { id: 'MB3.P1', group: 'Main 3', words: '0.0030 in', verdict: null },
    ])
  })
})

describe('what stands beside one place of a joint', () => {
  const done = { ...place('H1.pass1', 'pass 1', 'all'), group: 'H1' }
  const felt = { ...place('H1.bolt7.felt', 'bolt 7', 'creaked'), group: 'H1' }
  const seen = {
    ...place('H1.check', 'second person'),
    group: 'H1',
    readings: [{ id: 'r', live: true, shown: null }],
  } as unknown as PlaceView
  const groups = [
    {
      id: 'how',
      words: 'How it is tightened',
      values: [],
      places: [place('setting', 'torque', '65 ft-lb')],
    },
    {
      id: 'H1',
      words: 'Left head',
      values: [],
      places: [done, felt, place('H1.final', 'last pass'), seen],
    },
    { id: 'H2', words: 'Right head', values: [], places: [place('H2.pass1', 'pass 1', 'all')] },
  ]
  const subject = { value: null, places: [felt], neighbours: [] } as unknown as Subject

  function beside(style: string) {
    const view = { style, values: [], groups } as unknown as StepView
    return besideOf(view, subject).map(({ group, places }) => [group, places.map(({ id }) => id)])
  }

  it('is how it is tightened and what else was done at the same joint, skipped places too', () => {
    expect(beside('joint')).toEqual([
      ['Left head', ['H1.pass1', 'H1.check']],
      ['How it is tightened', ['setting']],
    ])
  })

  it('is nothing elsewhere, where values and neighbours say it', () => {
    expect(beside('grid')).toEqual([])
  })
})

describe('a decision', () => {
  const item = { key: 'k', build: 'b', flag: flag('f', 'WARN', { about: 'MB2.c' }) } as Waiting

  it('accepts the value as it was shown, with its limit', () => {
    const fact = decided(item, 'accept', '', 'within the grinder’s word', value)
    expect(fact).toMatchObject({
      kind: 'decision',
      step: 's',
      body: {
        v: 1,
        decision: 'accept',
        about: 'MB2.c',
        value: shown,
        limit: 'main clearance 0.0021 to 0.0031 in, spec card',
      },
    })
  })

  it('asks for a new measurement of what the lead points at', () => {
    const fact = decided(item, 'measure_again', 'MB2.V', 'with the other gauge', value)
    expect(fact.body).toMatchObject({ decision: 'measure_again', about: 'MB2.V' })
  })

  it('lets one of several readings count by striking the others out with the reason', () => {
    const readings = [
      { id: 'r1', live: true, shown },
      { id: 'r2', live: true, shown },
      { id: 'r3', live: false, shown },
      { id: 'r4', live: true, shown: null },
    ]
    const subject = { value: null, places: [{ readings }], neighbours: [] } as unknown as Subject
    const facts = settled(item, subject, 'r2', 'the other gauge was never zeroed')
    expect(facts.map(({ kind, body }) => [kind, body])).toEqual([
      [
        'struck_out',
        {
          v: 1,
          target: 'r1',
          reason: 'the other reading counts: the other gauge was never zeroed',
        },
      ],
    ])
  })

  it('strikes a reading out by an entry of its own kind', () => {
    const fact = decided(item, 'strike_out', 'r1', 'wrong journal', value)
    expect(fact).toMatchObject({
      kind: 'struck_out',
      body: { v: 1, target: 'r1', reason: 'wrong journal' },
    })
  })
})
