import { expect, it } from 'vitest'
import type { State } from '../brain/types.ts'
import { worstFirst } from './board.ts'

function build(id: string, at: string, ...flags: [string, boolean][]): State {
  const shown = flags.map(([severity, open]) => ({ severity, open }))
  return { build: id, flags: shown, last_touch: { at } } as unknown as State
}

it('puts the build with the worst open flag first and the quiet ones last', () => {
  const builds = [
    build('quiet', '9'),
    build('answered', '1', ['STOP', false]),
    build('warn', '1', ['WARN', true]),
    build('hold', '1', ['STOP', false], ['HOLD', true]),
    build('warn later', '2', ['WARN', true]),
  ]
  expect(worstFirst(builds).map((state) => state.build)).toEqual([
    'hold',
    'warn later',
    'warn',
    'answered',
    'quiet',
  ])
})
