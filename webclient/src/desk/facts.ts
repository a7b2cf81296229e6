/** What the book holds of an engine as it was typed: for changing a value and for adding a card to those in force. */
import type { BookEntry } from '../parts/seam.ts'
import { nameOf } from '../parts/spell.ts'
import { moment } from '../parts/when.ts'
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

export interface Written {
  id: string
  person: string
  at: string
}

/** The last entry of a kind, of one field where `field` is given: who wrote it and when. */
export function lastWritten(entries: BookEntry[], kind: string, field?: string): Written | null {
  const written = entries
    .filter(({ sent }) => sent !== 'held')
    .map(({ text }) => JSON.parse(text) as Told & { id: string; person: string; made_at: string })
    .filter((one) => one.kind === kind && (field === undefined || one.body.field === field))
    .at(-1)
  return written ? { id: written.id, person: written.person, at: written.made_at } : null
}

/** Throws, with who it was, when another entry stands now than when somebody began to type. */
export function refuseStale(
  base: string | null | undefined,
  now: Written | null,
  what: string,
): void {
  if (base === undefined || base === (now?.id ?? null)) return
  const by = now ? ` by ${nameOf(now.person)}, ${moment(now.at)}` : ''
  const message = `${what} changed meanwhile${by}: look at what stands now. What you typed is still here; write it once more if it still holds.`
  throw Object.assign(new Error(message), { code: 'changed_meanwhile' })
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
