/** An instrument as its form holds it: texts that a hand typed, begun with what its kind usually reads. */
import type { Catalogue } from '../brain/types.ts'
import type { InstrumentFields, KeptInstrument } from '../parts/seam.ts'

export type Kind = Catalogue['instrument_kinds'][number]

/** The form of a new instrument of a kind; what was typed already stays. */
export function ofKind(kind: Kind, before: InstrumentFields | null): InstrumentFields {
  const unit = kind.step.unit
  const end = kind.torque ? { text: '', unit } : null
  return {
    kind: kind.kind,
    name: before?.name ?? '',
    step: { ...kind.step },
    trust: { ...kind.trust },
    dial: kind.dial,
    range_low: end,
    range_high: end && { ...end },
    band: kind.torque ? kind.trust.text : '',
    calibrated_on: before?.calibrated_on ?? '',
    calibration_due: before?.calibration_due ?? '',
  }
}

/** The form of one that is there. */
export function ofKept(kept: KeptInstrument): InstrumentFields {
  const { kind, name, step, trust, dial, range_low, range_high } = kept
  const texts = {
    band: kept.band ?? '',
    calibrated_on: kept.calibrated_on ?? '',
    calibration_due: kept.calibration_due ?? '',
  }
  return { kind, name, step, trust, dial, range_low, range_high, ...texts }
}

/** All figures of one instrument are in the unit that it reads in, but a trust in percent. */
export function inUnit(fields: InstrumentFields, unit: string): InstrumentFields {
  const put = <T extends { unit: string | null } | null>(figure: T): T =>
    figure && figure.unit !== '%' ? { ...figure, unit } : figure
  return {
    ...fields,
    step: put(fields.step),
    trust: put(fields.trust),
    range_low: put(fields.range_low),
    range_high: put(fields.range_high),
  }
}

/** What a new day of calibration means for the day when it is due: the old one no longer holds. */
export function calibratedOn(fields: InstrumentFields, day: string): InstrumentFields {
  return { ...fields, calibrated_on: day, calibration_due: '' }
}
