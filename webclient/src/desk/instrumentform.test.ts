import { expect, it } from 'vitest'
import type { KeptInstrument } from '../parts/seam.ts'
import { calibratedOn, inUnit, type Kind, ofKept, ofKind } from './instrumentform.ts'

const typed = (text: string, unit: string) => ({ text, unit })
const feelers = {
  kind: 'feeler_gauges',
  step: typed('0.001', 'in'),
  trust: typed('0.0005', 'in'),
  dial: false,
  torque: false,
} as Kind
const wrench = {
  kind: 'torque_wrench',
  step: typed('1', 'lbf*ft'),
  trust: typed('4', '%'),
  dial: false,
  torque: true,
} as Kind

it('begins with what the kind usually reads and keeps the name that was typed', () => {
  const first = { ...ofKind(feelers, null), name: 'In drawer 3', calibrated_on: '2026-11-01' }
  expect(first).toMatchObject({ step: typed('0.001', 'in'), range_low: null, band: '' })
  expect(ofKind(wrench, first)).toMatchObject({
    kind: 'torque_wrench',
    name: 'In drawer 3',
    calibrated_on: '2026-11-01',
    band: '4',
    range_low: typed('', 'lbf*ft'),
    range_high: typed('', 'lbf*ft'),
  })
})

it('moves all figures to another unit but the percent', () => {
  expect(inUnit(ofKind(wrench, null), 'N*m')).toMatchObject({
    step: typed('1', 'N*m'),
    trust: typed('4', '%'),
    range_high: typed('', 'N*m'),
  })
  expect(inUnit(ofKind(feelers, null), 'mm').trust.unit).toBe('mm')
})

it('lets the due date of the calibration before go with it', () => {
  const fields = { ...ofKind(wrench, null), calibration_due: '2026-01-01' }
  expect(calibratedOn(fields, '2026-11-27')).toMatchObject({
    calibrated_on: '2026-11-27',
    calibration_due: '',
  })
})

it('shows what is not there as an empty field', () => {
  const kept = {
    ...ofKind(feelers, null),
    band: null,
    calibrated_on: null,
    calibration_due: '2027-01-01',
  } as KeptInstrument
  expect(ofKept(kept)).toMatchObject({
    band: '',
    calibrated_on: '',
    calibration_due: '2027-01-01',
  })
})
