import type { State } from '../brain/types.ts'
import { to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { engines } from '../parts/seam.ts'
import { Sign, tone } from '../parts/signs.tsx'
import { isHand, nameOf } from '../parts/spell.ts'
import { moment } from '../parts/when.ts'
import { mineFirst, stageOf } from './order.ts'

function Worst({ state }: { state: State }) {
  const worst = state.flags[0]
  if (!worst) return null
  return (
    <span class={`worst ${tone(worst.severity)}`}>
      <Sign name={worst.severity} /> <strong>{worst.severity}</strong>
    </span>
  )
}

function Touch({ state }: { state: State }) {
  const touch = state.last_touch
  if (!touch) return <span class="soft small">Not touched yet</span>
  return (
    <span class="soft small">
      {moment(touch.at)}, {nameOf(touch.person)}
    </span>
  )
}

/** One engine: its job and the customer's word, where it stands and what comes next, the worst flag. */
function EngineCard({ state }: { state: State }) {
  return (
    <a class="card engine" href={to.build(state.build)}>
      <span class="card-title">
        {state.job} <span class="card-word">{state.title}</span>
      </span>
      <span class="card-line">
        {stageOf(state)}
        {state.next ? ` · next: ${state.next.words}` : ' · nothing left to measure'}
      </span>
      <span class="card-foot">
        <Worst state={state} />
        <Touch state={state} />
      </span>
    </a>
  )
}

function NoEngines() {
  return (
    <p>
      No engine is in the book of this phone yet. The lead opens a build at the desk; it comes here
      with the next contact with the shop.
    </p>
  )
}

/** The first screen: all engines, mine first. */
export function Engines() {
  const list = mineFirst(engines.value, isHand)
  return (
    <>
      <StandHead title="Engines" />
      <main class="page" id="main">
        {list.length === 0 ? <NoEngines /> : null}
        <ul class="cards">
          {list.map((state) => (
            <li key={state.build}>
              <EngineCard state={state} />
            </li>
          ))}
        </ul>
        <p class="foot-link">
          <a href={to.desk}>To the lead's desk</a>
        </p>
      </main>
    </>
  )
}
