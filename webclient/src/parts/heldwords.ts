/** What an entry was about, in words that a person recognises, read from its text as it was written. */
import { moment } from './when.ts'

interface Typed {
  text?: string
  unit?: string | null
}

interface Written {
  build?: string
  kind?: string
  step?: string | null
  person?: string
  made_at?: string
  body?: {
    value?: Typed | string | null
    not_measured?: string | null
    reason?: string
    job?: string
    decision?: string
  }
}

const KINDS: Record<string, string> = {
  build_opened: 'The opening of a build',
  limits_frozen: 'Limits in force',
  engine_value: 'A value of the engine',
  reading: 'A reading',
  step_signed: 'A signature',
  decision: 'A decision',
  struck_out: 'A striking out',
  photo: 'A picture',
  hold_signed: 'A signature of a Hold',
  hold_opened: 'A Hold opened again',
}

/** The fields of an entry's text; of a text that nobody can read, none. */
export function readEntry(text: string | null): Written {
  try {
    const found = JSON.parse(text ?? '{}') as unknown
    return typeof found === 'object' && found !== null ? (found as Written) : {}
  } catch {
    return {}
  }
}

function said({ body }: Written): string {
  const value = body?.value
  if (typeof value === 'string') return value
  if (value?.text) return [value.text, value.unit].filter(Boolean).join(' ')
  if (body?.not_measured) return `not measured, because ${body.not_measured}`
  return body?.reason ?? body?.job ?? ''
}

/** "A reading: 2.5497 in". */
export function whatItSays(written: Written): string {
  const kind = KINDS[written.kind ?? ''] ?? 'An entry'
  const value = said(written)
  return value ? `${kind}: ${value}` : kind
}

interface Known {
  nameOf: (person: string) => string
  /** Job and step in words; null for a build or step that this device does not know. */
  where: (build: string, step: string | null) => string | null
}

/** "Jonas K., 24 Nov, 09:14, T-301 Crank journals": who, when, where, as far as it can be told. */
export function whoAndWhere(written: Written, known: Known): string {
  const { person, made_at, build, step } = written
  const parts = [
    person && known.nameOf(person),
    made_at && moment(made_at),
    build && known.where(build, step ?? null),
  ]
  return parts.filter((part) => part).join(', ')
}
