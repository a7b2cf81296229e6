import { useRef, useState } from 'preact/hooks'
import type { State } from '../brain/types.ts'
import { to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { engines } from '../parts/seam.ts'
import { Sign, tone } from '../parts/signs.tsx'
import { hand, isHand, nameOf } from '../parts/spell.ts'
import { moment } from '../parts/when.ts'
import { mineFirst, stageOf, steady } from './order.ts'

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

/** The order in which the page itself shows the engines before the app draws over it: a thumb may be on its way. */
let onThePage: string[] = []

/** Said once, before the first drawing. `addresses`: paths of builds, topmost first. */
export function standsAsLeft(addresses: string[]): void {
  onThePage = engines.value
    .map(({ build }) => build)
    .filter((build) => addresses.includes(to.build(build)))
    .sort((a, b) => addresses.indexOf(to.build(a)) - addresses.indexOf(to.build(b)))
}

function takeOnThePage(): string[] {
  const builds = onThePage
  onThePage = []
  return builds
}

/** Mine first; while the screen stands, each card keeps its place until there is another hand. */
function useList(): State[] {
  const [first] = useState(() => ({ hand: hand.value, builds: takeOnThePage() }))
  const stood = useRef(first)
  const before = stood.current.hand === hand.value ? stood.current.builds : []
  const list = steady(mineFirst(engines.value, isHand), before)
  stood.current = { hand: hand.value, builds: list.map(({ build }) => build) }
  return list
}

/** The first screen: all engines. */
export function Engines() {
  const list = useList()
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
        <p class="foot-link row">
          <a class="button plain" href={to.calculators}>
            Calculators
          </a>
          <a href={to.desk}>To the lead's desk</a>
        </p>
      </main>
    </>
  )
}
