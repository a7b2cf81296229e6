import { expect, it } from 'vitest'
import type { Customer, Erased } from '../parts/seam.ts'
import {
  copyWords,
  customerName,
  customerOf,
  fieldsOf,
  leftWords,
  NOTHING,
  readFields,
  there,
} from './customerwords.ts'

const ANN: Customer = {
  id: 'a',
  name: 'Ann',
  phone: '555-0173',
  email: null,
  address: null,
  note: null,
  erased_at: null,
  version: 'v1',
  builds: ['b1'],
}
const GONE: Customer = {
  ...ANN,
  id: 'g',
  name: null,
  phone: null,
  erased_at: '2026-11-25T08:00:00.000Z',
  builds: ['b2'],
}

it('shows missing fields as empty ones', () => {
  expect(fieldsOf(ANN)).toEqual({ ...NOTHING, name: 'Ann', phone: '555-0173' })
  expect(fieldsOf(GONE)).toEqual(NOTHING)
  expect(fieldsOf(null)).toEqual(NOTHING)
})

it('keeps a field that was emptied on purpose empty', () => {
  expect(readFields('{"phone": ""}', fieldsOf(ANN))).toEqual({ ...NOTHING, name: 'Ann' })
  for (const none of ['', '{', 'null']) expect(readFields(none, fieldsOf(ANN)).name).toBe('Ann')
})

it('finds whose engine it is, and gives engines only to those who are there', () => {
  expect(customerOf('b1', [GONE, ANN])).toBe(ANN)
  expect(customerOf('b9', [GONE, ANN])).toBeNull()
  expect(there([GONE, ANN])).toEqual([ANN])
})

it('calls an erased customer by the day of that', () => {
  expect(customerName(ANN)).toBe('Ann')
  expect(customerName(GONE)).toMatch(/^Erased 25 Nov/)
})

it('says where an erased customer still is', () => {
  const erased: Erased = { erased_at: '', clean: true, copies: [] }
  expect(leftWords(erased)[0]).toBe('No backup of this server holds the customer.')
  expect(leftWords({ ...erased, clean: false })[0]).toContain('Traces may be left')
  const copy = { name: 'book.tar', made_at: '2026-11-24T08:00:00.000Z', sure: false }
  expect(leftWords({ ...erased, copies: [copy] })[0]).toContain('still hold the customer')
  expect(copyWords(copy)).toMatch(/^book\.tar, of 24 Nov.*cannot be read/)
  expect(copyWords({ ...copy, sure: true })).not.toContain('cannot be read')
})
