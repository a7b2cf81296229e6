import { catalogue } from '../parts/seam.ts'
import { unitWords } from '../stand/UnitSheet.tsx'
import type { Card, CardRow } from './cards.ts'

function words(row: CardRow): string {
  const named = catalogue.value?.card_rows.find(({ key }) => key === row.key)?.words
  const [low, high] = [row.low, row.high]
  const unit = unitWords((high ?? low)?.unit ?? null)
  if (low && high) return `${named ?? 'limit'} ${low.text} to ${high.text} ${unit}`
  return low ? `${named} from ${low.text} ${unit}` : `${named} up to ${high?.text} ${unit}`
}

/** Cards with what they say. */
export function CardList({ cards }: { cards: Card[] }) {
  if (cards.length === 0) return <p class="soft">No spec card: the shop's defaults hold.</p>
  return (
    <ul class="stack">
      {cards.map((card) => (
        <li key={card.id}>
          <strong>
            {card.title}, version {card.version}
          </strong>
          <ul class="dashes">
            {card.rows.map((row) => (
              <li key={row.key}>{words(row)}</li>
            ))}
          </ul>
        </li>
      ))}
    </ul>
  )
}
