/** Which of the shop's instruments a sheet offers for a place, and in which order. */
import type { Instrument } from '../brain/types.ts'

export interface Offered {
  /** Of the kinds that the step names, best first. */
  fit: Instrument[]
  others: Instrument[]
}

/** Those that read in one of the place's units, the kinds that fit the step apart from the others. */
export function offered(list: Instrument[], kinds: string[], units: string[]): Offered {
  const reads = list.filter(({ step }) => step.unit !== null && units.includes(step.unit))
  const fit = reads.filter(({ kind }) => kinds.includes(kind))
  fit.sort((a, b) => kinds.indexOf(a.kind) - kinds.indexOf(b.kind))
  return { fit, others: reads.filter((one) => !fit.includes(one)) }
}
