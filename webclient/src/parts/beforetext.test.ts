import { expect, it } from 'vitest'
import { beforeSays } from './beforetext.ts'

const cleared = (made: number, at_shop: number | null) =>
  beforeSays({ made, why: 'cleared', at_shop })

it('LG14: says how many entries are lost and by which numbers', () => {
  expect(cleared(412, 409)).toMatch(/3 entries \(numbers 410 to 412 of 412\)/)
  expect(cleared(5, 4)).toMatch(/1 entry \(number 5 of 5\)/)
})

it('LG14: says that nothing is lost when the shop has everything', () => {
  expect(cleared(412, 412)).toMatch(/Nothing is lost/)
})

it('LG14: does not guess before the shop has been asked', () => {
  expect(cleared(412, null)).toMatch(/as soon as the shop is in reach/)
  expect(cleared(412, null)).not.toMatch(/Nothing is lost/)
})

it('LG4: a copied phone hears that it goes on', () => {
  expect(beforeSays({ made: 3, why: 'copied', at_shop: null })).toMatch(/new identity/)
})
