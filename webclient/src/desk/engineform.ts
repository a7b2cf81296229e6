/**
 * The engine's specification as a form: what is typed, and the values that the brain checks. Nothing is judged
 * here; what cannot be read is handed on as it was typed, so that the brain's own sentence stands at the field.
 */
import type { EngineField } from '../brain/types.ts'

/** What stands in a field; `unit` only for those that have one. */
export interface Raw {
  text: string
  unit: string | null
}

export type RawForm = Record<string, Raw>

const NUMBERS = ['length', 'angle', 'speed', 'count', 'ratio', 'time']

export function isNumber(field: EngineField): boolean {
  return NUMBERS.includes(field.kind)
}

/** Whether this engine has the field at all, by the choices made so far. */
export function isAsked(field: EngineField, form: RawForm): boolean {
  return Object.entries(field.when).every(([name, allowed]) =>
    allowed.includes(form[name]?.text ?? ''),
  )
}

/** "1-8-4" or "1, 8, 4" as numbers; anything else stays the text it is. */
function numbers(text: string): number[] | string {
  const parts = text.trim().split(/[\s,-]+/)
  return parts.every((part) => /^\d{1,3}$/.test(part)) ? parts.map(Number) : text
}

/** Rows of numbers, one for each line or each part between semicolons. */
function rows(text: string): (number[] | string)[] {
  return text
    .split(/[;\n]+/)
    .filter((row) => row.trim() !== '')
    .map(numbers)
}

/** The value of a field as the book keeps it: a typed quantity, a choice, a list, a list of lists. */
export function valueIn(field: EngineField, raw: Raw): unknown {
  if (isNumber(field)) return { text: raw.text.trim(), unit: raw.unit ?? field.unit }
  if (field.kind === 'order') return numbers(raw.text)
  if (field.kind === 'pairs' || field.kind === 'table') return rows(raw.text)
  return raw.text
}

/** All values that are typed and asked for, by field: what `checkEngine` takes. */
export function valuesOf(fields: EngineField[], form: RawForm): Record<string, unknown> {
  const found: Record<string, unknown> = {}
  for (const field of fields) {
    const raw = form[field.field]
    if (raw && raw.text.trim() !== '' && isAsked(field, form))
      found[field.field] = valueIn(field, raw)
  }
  return found
}

const isTyped = (value: unknown): value is Raw =>
  typeof value === 'object' && value !== null && 'text' in value

function listText(value: unknown[]): string {
  const nested = value.some(Array.isArray)
  return nested ? value.map((row) => listText([row].flat())).join('\n') : value.join('-')
}

/** A value of the book as it would be typed again. */
export function rawOf(value: unknown): Raw {
  if (isTyped(value)) return { text: value.text, unit: value.unit }
  return { text: Array.isArray(value) ? listText(value) : String(value), unit: null }
}
