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
  /** Why the limits change; the card's name is their source. */
  reason?: string
  /** The entry that had frozen the limits when this was begun. */
  base?: string | null
}

/** The place under which a picture of a card is kept. */
export function cardPlace(card: string): string {
  return `card/${card}`
}

/** A card as the form holds it, to be changed into its next version. */
export function rawCard({ title, rows }: Card): RawCard {
  const raw: RawCard = { title, ends: {}, units: {} }
  for (const { key, low, high } of rows) {
    for (const [side, typed] of Object.entries({ low, high })) {
      if (typed) raw.ends[`${key} ${side}`] = typed.text
      if (typed?.unit) raw.units[key] = typed.unit
    }
  }
  return raw
}

export const EMPTY_CARD: RawCard = { title: '', ends: {}, units: {} }

/** A half-typed card as its draft holds it. */
export function readCard(text: string): RawCard {
  try {
    return { ...EMPTY_CARD, ...(JSON.parse(text) as Partial<RawCard>) }
  } catch {
    return EMPTY_CARD
  }
}

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

function numberOf(typed: Typed | null): number | null {
  return typed && Number(typed.text.replace(',', '.'))
}

/** What is wrong with a card's rows, in words, before the book takes them; null with nothing. */
export function wrongRow(rows: CardRow[], known: { key: string; words: string }[]): string | null {
  for (const { key, low, high } of rows) {
    const [from, to] = [numberOf(low), numberOf(high)]
    const words = known.find((row) => row.key === key)?.words ?? key
    if (Number.isNaN(from) || Number.isNaN(to)) return `${words}: type digits and a point only.`
    if (from !== null && to !== null && from > to)
      return `${words}: from is more than to. Look at the card again.`
  }
  return null
}

/** The cards in force with `card` added: a new card, or the next version of one with the same title. */
export function withCard(cards: Card[], card: Omit<Card, 'version'>): Card[] {
  const before = cards.find(({ title }) => title === card.title)
  const next = { ...card, id: before?.id ?? card.id, version: (before?.version ?? 0) + 1 }
  return [...cards.filter((one) => one !== before), next]
}
