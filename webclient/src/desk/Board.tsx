import type { State } from '../brain/types.ts'
import { FlagLine } from '../parts/FlagLine.tsx'
import { to } from '../parts/router.ts'
import { engines } from '../parts/seam.ts'
import { Said } from '../parts/signs.tsx'
import { nameOf } from '../parts/spell.ts'
import { moment } from '../parts/when.ts'
import { stageOf } from '../stand/order.ts'
import { worstFirst } from './board.ts'

function Progress({ state }: { state: State }) {
  return (
    <ul class="board-steps">
      {state.stages.flatMap(({ steps }) =>
        steps.map((step) => (
          <li key={step.id}>
            <Said name={step.state} words={step.title} />
            <span class="soft">
              {step.state}, {step.filled} of {step.of}
            </span>
          </li>
        )),
      )}
      {state.holds
        .filter((hold) => hold.state !== 'waiting')
        .map((hold) => (
          <li key={hold.id}>
            <Said name={hold.state} words={hold.name} />
            <span class="soft">{hold.state}</span>
          </li>
        ))}
    </ul>
  )
}

/** The three worst; the build's own page has all of them. */
function Flags({ state }: { state: State }) {
  const more = state.flags.length - 3
  if (state.flags.length === 0) return <p class="soft">No flag.</p>
  return (
    <ul class="flags">
      {state.flags.slice(0, 3).map((flag) => (
        <li key={flag.id}>
          <FlagLine flag={flag} />
        </li>
      ))}
      {more > 0 && <li class="soft">and {more} more</li>}
    </ul>
  )
}

function BuildRow({ state }: { state: State }) {
  const touch = state.last_touch
  return (
    <li class="card board-card">
      <div class="board-name">
        <h2>
          <a href={to.deskBuild(state.build)}>
            {state.job} <span class="card-word">{state.title}</span>
          </a>
        </h2>
        <p>{stageOf(state)}</p>
        {touch && (
          <p class="soft small">
            Last: {touch.words}, {nameOf(touch.person)}, {moment(touch.at)}
          </p>
        )}
      </div>
      <Progress state={state} />
      <Flags state={state} />
    </li>
  )
}

/** Every build of the shop, those with the worst open flags first. */
export function Board() {
  const list = worstFirst(engines.value)
  return (
    <main class="desk-page" id="main">
      <div class="row page-head">
        <h1 class="grow">Board</h1>
        <a class="button" href={to.customers}>
          Customers
        </a>
      </div>
      {list.length === 0 && (
        <p>
          No build is in the book yet. <a href={to.newBuild}>Open a build</a>
        </p>
      )}
      <ul class="cards">
        {list.map((state) => (
          <BuildRow key={state.build} state={state} />
        ))}
      </ul>
    </main>
  )
}
