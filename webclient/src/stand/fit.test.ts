import { expect, it } from 'vitest'
import type { Instrument } from '../brain/types.ts'
import { offered } from './fit.ts'

const gauge = (id: string, kind: string, unit: string) =>
  ({ id, kind, step: { text: '1', unit } }) as Instrument

it('offers the kinds that fit first and in the order of the step, others apart, and none that reads another quantity', () => {
  const list = [
    gauge('caliper', 'digital_caliper', 'in'),
    gauge('thermometer', 'thermometer', 'degF'),
    gauge('bore', 'dial_bore_gauge', 'mm'),
    gauge('micrometer', 'outside_micrometer', 'in'),
  ]
  const kinds = ['outside_micrometer', 'dial_bore_gauge', 'thermometer']
  const { fit, others } = offered(list, kinds, ['in', 'mm'])
  expect(fit.map(({ id }) => id)).toEqual(['micrometer', 'bore'])
  expect(others.map(({ id }) => id)).toEqual(['caliper'])
})
