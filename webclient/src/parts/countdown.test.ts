import { expect, it } from 'vitest'
import { endsAt, secondsLeft, shownTime } from './countdown.ts'

const NOW = Date.parse('2026-11-25T10:00:00.000Z')
const LIFE = 600_000

it('counts down to nothing and no further', () => {
  expect(secondsLeft(NOW + 61_000, NOW)).toBe(61)
  expect(secondsLeft(NOW + 200, NOW)).toBe(1)
  expect(secondsLeft(NOW, NOW)).toBe(0)
  expect(secondsLeft(NOW - 5_000, NOW)).toBe(0)
})

it('reads as minutes and seconds', () => {
  expect([600, 581, 60, 7, 0].map(shownTime)).toEqual(['10:00', '9:41', '1:00', '0:07', '0:00'])
})

it('believes the server as far as this device’s clock can be right', () => {
  expect(endsAt('2026-11-25T10:09:00.000Z', LIFE, NOW)).toBe(NOW + 540_000)
  expect(endsAt('2026-11-25T11:09:00.000Z', LIFE, NOW)).toBe(NOW + LIFE)
  expect(endsAt('2019-11-25T10:09:00.000Z', LIFE, NOW)).toBe(NOW + LIFE)
  expect(endsAt('soon', LIFE, NOW)).toBe(NOW + LIFE)
})
