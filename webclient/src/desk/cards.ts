/** Spec cards: a part maker's limits by key, as the form holds them and as the book keeps them. */
import type { Typed } from '../brain/types.ts'

export interface CardRow {
  key: string
  low: Typed | null
  high: Typed | null
}

export interface Card {
  id: string
  version: number
  title: string
  rows: CardRow[]
}

export interface RawCard {
  title: string
  /** By "key low" and "key high". */
  ends: Record<string, string>
  units: Record<string, string>
}

export const EMPTY_CARD: RawCard = { title: '', ends: {}, units: {} }

function end(raw: RawCard, key: string, side: 'low' | 'high', unit: string): Typed | null {
  const text = (raw.ends[`${key} ${side}`] ?? '').trim()
  return text === '' ? null : { text, unit: raw.units[key] ?? unit }
}

/** The rows with a number at one end or both. */
export function rowsOf(raw: RawCard, known: { key: string; unit: string }[]): CardRow[] {
  return known
    .map(({ key, unit }) => ({
      key,
      low: end(raw, key, 'low', unit),
      high: end(raw, key, 'high', unit),
    }))
    .filter(({ low, high }) => low !== null || high !== null)
}

/** The cards in force with `card` added: a new card, or the next version of one with the same title. */
export function withCard(cards: Card[], card: Omit<Card, 'version'>): Card[] {
  const before = cards.find(({ title }) => title === card.title)
  const next = { ...card, id: before?.id ?? card.id, version: (before?.version ?? 0) + 1 }
  return [...cards.filter((one) => one !== before), next]
}
