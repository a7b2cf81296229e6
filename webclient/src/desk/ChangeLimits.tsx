import { useEffect, useState } from 'preact/hooks'
import type { State } from '../brain/types.ts'
import { catalogue, entriesOf, session } from '../parts/seam.ts'
import { enter } from '../parts/write.ts'
import { CardForm } from './CardForm.tsx'
import { CardList } from './CardList.tsx'
import { type Card, withCard } from './cards.ts'
import { limitsOf } from './facts.ts'
import { limitsFact } from './opening.ts'

function useCards(state: State): Card[] {
  const [cards, setCards] = useState<Card[]>([])
  const { build, count } = state
  useEffect(() => {
    entriesOf(build).then(
      (entries) => setCards(limitsOf(entries).cards),
      () => undefined,
    )
  }, [build, count])
  return cards
}

/** Cards in force, and adding one: the limits are frozen anew by a new entry, with the same table of defaults. */
export function ChangeLimits({ state }: { state: State }) {
  const cards = useCards(state)
  const add = async (card: Omit<Card, 'version'>) => {
    const limits = limitsOf(await entriesOf(state.build))
    const defaults = limits.defaults ?? catalogue.value?.limits_sha256 ?? ''
    await enter(
      limitsFact(state.build, defaults, withCard(limits.cards, card)),
      session.value?.person?.id,
    )
  }
  return (
    <details class="fold">
      <summary>Spec cards: see and add</summary>
      <div class="stack">
        <CardList cards={cards} />
        <CardForm add={add} />
      </div>
    </details>
  )
}
