import type { State } from '../brain/types.ts'
import { nameOf } from './spell.ts'
import { moment } from './when.ts'

function Facts({ state }: { state: State }) {
  return (
    <dl class="facts">
      {state.engine.map(({ field, words, shown, person, at }) => (
        <div key={field}>
          <dt>{words}</dt>
          <dd>
            {shown} <span class="soft small">{`${nameOf(person)}, ${moment(at)}`}</span>
          </dd>
        </div>
      ))}
    </dl>
  )
}

function Limits({ state }: { state: State }) {
  const { frozen, cards } = state.limits
  return (
    <div class="stack">
      {frozen === null && <p>No limits are in force yet: the lead freezes them at the desk.</p>}
      {frozen !== null && cards.length === 0 && <p>Shop defaults; no spec card is in force.</p>}
      <ul class="dashes">
        {cards.map(({ id, version, title }) => (
          <li key={id}>
            {title}, version {version}
          </li>
        ))}
      </ul>
      {cards.length > 0 && <p class="soft">Where no card speaks, the shop's defaults hold.</p>}
    </div>
  )
}

/** Facts of the engine and the cards in force, folded away until somebody wants them. */
export function EngineFacts({ state }: { state: State }) {
  return (
    <section aria-label="Engine and limits">
      <details class="fold">
        <summary>Engine facts</summary>
        <Facts state={state} />
      </details>
      <details class="fold">
        <summary>Limits and spec cards in force</summary>
        <Limits state={state} />
      </details>
    </section>
  )
}
