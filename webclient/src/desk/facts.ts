/** What the book holds of an engine as it was typed: for changing a value and for adding a card to those in force. */
import type { BookEntry } from '../parts/seam.ts'
import type { Card } from './cards.ts'
import { type RawForm, rawOf } from './engineform.ts'

interface Told {
  kind: string
  body: { field?: string; value?: unknown; cards?: Card[]; defaults?: string }
}

function told(entries: BookEntry[], kind: string): Told['body'][] {
  return entries
    .filter(({ sent }) => sent !== 'held')
    .map(({ text }) => JSON.parse(text) as Told)
    .filter((entry) => entry.kind === kind)
    .map(({ body }) => body)
}

/** The specification as typed: the last value of each field. Entries come in the order of the book. */
export function formOf(entries: BookEntry[]): RawForm {
  const form: RawForm = {}
  for (const { field, value } of told(entries, 'engine_value'))
    if (field !== undefined) form[field] = rawOf(value)
  return form
}

/** The limits in force: the table's hash and the cards. */
export function limitsOf(entries: BookEntry[]): { defaults: string | null; cards: Card[] } {
  const last = told(entries, 'limits_frozen').at(-1)
  return { defaults: last?.defaults ?? null, cards: last?.cards ?? [] }
}
