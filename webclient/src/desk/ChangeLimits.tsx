import { useMemo } from 'preact/hooks'
import type { LimitsView, State } from '../brain/types.ts'
import { PhotoKeys } from '../parts/PhotoKeys.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { catalogue, entriesOf, limitsView, session } from '../parts/seam.ts'
import { useWords } from '../parts/words.ts'
import { enter } from '../parts/write.ts'
import { CardForm } from './CardForm.tsx'
import { type Card, cardPlace, type RawCard, rawCard, readCard, withCard } from './cards.ts'
import { lastWritten, limitsOf, refuseStale } from './facts.ts'
import { LimitHistory } from './LimitHistory.tsx'
import { limitsFact } from './opening.ts'

interface OneProps {
  state: State
  card: LimitsView['cards'][number]
  change: () => void
}

/** A card in force: what it says, its pictures, and the way to its next version. */
function OneCard({ state, card, change }: OneProps) {
  const place = cardPlace(card.id)
  const photos = state.photos.filter((photo) => photo.place === place)
  return (
    <li class="group stack">
      <h3 class="group-head">
        {card.title}, version {card.version}
      </h3>
      <ul class="dashes">
        {card.rows.map(({ key, words, band }) => (
          <li key={key}>
            {words} <strong>{band}</strong>
          </li>
        ))}
      </ul>
      <PhotoList build={state.build} photos={photos} />
      <details class="fold">
        <summary>Add a picture of the card</summary>
        <PhotoKeys
          build={state.build}
          step={null}
          place={place}
          person={session.value?.person?.id}
        />
      </details>
      <button type="button" class="button" onClick={change}>
        Change {card.title}
      </button>
    </li>
  )
}

/** What is half typed of a card is a draft of this browser, with the limits that stood when it was begun. */
function useCard(build: string, frozen: string | null) {
  const words = useWords(`card/${build}`)
  const raw = readCard(words.text)
  const type = (next: RawCard) => words.type(JSON.stringify({ base: frozen, ...next }))
  return { raw, type, words }
}

type Adding = { build: string; raw: RawCard; rebase: (base: string | null) => void; draft: string }

/** Writes the cards in force and this one. Throws when somebody changed the limits since it was begun. */
async function addCard({ build, raw, rebase, draft }: Adding, card: Omit<Card, 'version'>) {
  const entries = await entriesOf(build)
  const now = lastWritten(entries, 'limits_frozen')
  try {
    refuseStale(raw.base, now, 'The limits were')
  } catch (stale) {
    rebase(now?.id ?? null)
    throw stale
  }
  const limits = limitsOf(entries)
  const defaults = limits.defaults ?? catalogue.value?.limits_sha256 ?? ''
  const cards = withCard(limits.cards, card)
  const fact = limitsFact(build, defaults, cards, (raw.reason ?? '').trim())
  await enter({ ...fact, draft }, session.value?.person?.id)
}

function Cards({ state, view }: { state: State; view: LimitsView }) {
  const { build } = state
  const { raw, type, words } = useCard(build, view.frozen)
  const change = async (id: string) => {
    const card = limitsOf(await entriesOf(build)).cards.find((one) => one.id === id)
    if (card) type({ ...rawCard(card), base: view.frozen })
    document.getElementById('card-title')?.focus()
  }
  const add = async (card: Omit<Card, 'version'>) => {
    const rebase = (base: string | null) => type({ ...raw, base })
    await addCard({ build, raw, rebase, draft: words.key }, card)
    words.drop()
  }
  return (
    <div class="stack">
      {view.cards.length === 0 && <p class="soft">No spec card: the shop's defaults hold.</p>}
      <ul class="groups">
        {view.cards.map((card) => (
          <OneCard key={card.id} state={state} card={card} change={() => void change(card.id)} />
        ))}
      </ul>
      <h3>How the limits came to be</h3>
      <LimitHistory changes={view.changes} />
      <h3>Add a card, or the next version of one</h3>
      <CardForm add={add} kept={{ raw, type }} now={view.in_force} />
    </div>
  )
}

/** Cards in force with their pictures, a new or changed one, and the history of each limit. */
export function ChangeLimits({ state }: { state: State }) {
  const view = useMemo(() => limitsView(state.build), [state.build]).value
  return (
    <details class="fold">
      <summary>Spec cards: see, add, change</summary>
      {view ? <Cards state={state} view={view} /> : <p aria-busy="true">Looking in the book …</p>}
    </details>
  )
}
