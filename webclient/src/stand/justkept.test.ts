import { expect, it } from 'vitest'
import type { PlaceView, StepView } from '../brain/types.ts'
import { JustKept } from './justkept.ts'

const place = (id: string, count: number) =>
  ({ id, readings: Array.from({ length: count }, () => ({})) }) as unknown as PlaceView
const view = (...places: PlaceView[]) => ({ groups: [{ places }] }) as unknown as StepView

it('holds a kept place until a view shows its reading', () => {
  const just = new JustKept()
  just.add(place('a', 0))
  just.add(place('b', 1))
  just.seen(view(place('a', 1), place('b', 1)))
  expect(just.ids).toEqual(['b'])
  just.seen(view(place('a', 1), place('b', 2)))
  expect(just.ids).toEqual([])
})
