import { describe, expect, it } from 'vitest'
import type { Caution, StepView } from '../brain/types.ts'
import { cautionBefore, Tapped } from './cautions.ts'

const caution = (id: string, level: Caution['level'], at: string | null = null): Caution => ({
  id,
  line: id,
  level,
  at,
})
const step = (style: StepView['style'], cautions: Caution[]) => ({ style, cautions }) as StepView

function tapped(...ids: string[]): Tapped {
  const found = new Tapped('b', 's')
  found.ids.value = ids
  return found
}

describe('the caution before a place', () => {
  const cautions = [
    caution('read', 'fold'),
    caution('wrench', 'tap'),
    caution('solvents', 'tap', 'gasket'),
  ]

  it.each([
    ['grid', 'anything', [], 'wrench'],
    ['grid', 'anything', ['wrench'], 'solvents'],
    ['grid', 'anything', ['wrench', 'solvents'], null],
    ['joint', 'torque', [], null],
    ['joint', 'gasket', [], 'solvents'],
    ['joint', 'gasket', ['solvents'], null],
    ['joint', undefined, [], null],
  ] as const)('of a %s at %s with %j tapped is %s', (style, place, ids, wanted) => {
    const found = cautionBefore(step(style, cautions), tapped(...ids), place)
    expect(found?.id ?? null).toBe(wanted)
  })
})
