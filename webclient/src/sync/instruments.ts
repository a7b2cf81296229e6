/** The shop's instruments from the desk: listed with history and pulls, added, changed, retired. */
import { NoContact } from './failure.ts'
import { request } from './http.ts'
import { fetchShop } from './shop.ts'

interface Figure {
  text: string
  unit: string | null
}

/** What a lead writes; an empty text is none. */
export interface InstrumentFields {
  kind: string
  name: string
  step: Figure
  trust: Figure
  dial: boolean
  range_low: Figure | null
  range_high: Figure | null
  band: string
  calibrated_on: string
  calibration_due: string
}

export type KeptInstrument = Omit<
  InstrumentFields,
  'band' | 'calibrated_on' | 'calibration_due'
> & {
  id: string
  band: string | null
  calibrated_on: string | null
  calibration_due: string | null
  version: number
  retired_at: string | null
  retired_because: string | null
  history: { at: string; person: string; words: string }[]
  /** Readings with this torque wrench since its calibration; null for other kinds. */
  pulls: number | null
  /** What the brain says of it today. */
  words: string
  overdue: string | null
}

export async function keptInstruments(): Promise<KeptInstrument[]> {
  const { body } = await request<{ instruments: KeptInstrument[] }>('/instruments')
  if (!body?.instruments) throw new NoContact('not_the_shop')
  return body.instruments
}

const at = (id: string, what = '') => `/instruments/${encodeURIComponent(id)}${what}`

type Looked = Pick<KeptInstrument, 'id' | 'version'>

/** Adds an instrument, or writes one anew as it was looked at. Throws ServerFailure or NoContact. */
export async function keepInstrument(fields: InstrumentFields, old?: Looked): Promise<void> {
  const how = old
    ? ({ method: 'PUT', match: `"${old.version}"` } as const)
    : ({ method: 'POST' } as const)
  await request(old ? at(old.id) : '/instruments', { ...how, body: fields })
  await fetchShop()
}

/** Out of use with a reason, or with an empty one into use again. */
export async function retireInstrument(old: Looked, reason: string): Promise<void> {
  const match = `"${old.version}"`
  await request(at(old.id, '/retired'), { method: 'POST', match, body: { reason } })
  await fetchShop()
}
