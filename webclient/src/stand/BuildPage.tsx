import { useMemo } from 'preact/hooks'
import type { State, StepSummary } from '../brain/types.ts'
import { EngineFacts } from '../parts/EngineFacts.tsx'
import { FlagLine } from '../parts/FlagLine.tsx'
import { HoldList } from '../parts/HoldList.tsx'
import { PhotoKeys } from '../parts/PhotoKeys.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { buildState } from '../parts/seam.ts'
import { Said } from '../parts/signs.tsx'

function WaitsFor({ titles }: { titles: string[] }) {
  if (titles.length === 0) return null
  return <p class="soft small">Comes after: {titles.join(', ')}. Work may go on; it is flagged.</p>
}

function StepCard({ build, step }: { build: string; step: StepSummary }) {
  return (
    <li class="card step">
      <a class="step-link" href={to.step(build, step.id)}>
        <span class="step-title">{step.title}</span>
        <span class="step-state">
          <Said name={step.state} />
          <span>
            {step.filled} of {step.of}
          </span>
        </span>
      </a>
      {step.worst && <FlagLine flag={step.worst} />}
      <WaitsFor titles={step.waits_for} />
      {step.next && step.filled > 0 && <p class="soft small">Next: {step.next.words}</p>}
    </li>
  )
}

function Stages({ state }: { state: State }) {
  return (
    <>
      {state.stages.map((stage) => (
        <section key={stage.id} class="stage" aria-label={stage.title}>
          <h2>{stage.title}</h2>
          <ul class="cards">
            {stage.steps.map((step) => (
              <StepCard key={step.id} build={state.build} step={step} />
            ))}
          </ul>
        </section>
      ))}
    </>
  )
}

/** Where the work goes on; a Hold that wants nothing but signatures comes before it. */
function GoOn({ state }: { state: State }) {
  const { build, next, holds } = state
  const hold = holds.find(({ waits_for }) => waits_for.length > 0)
  if (!next && !hold) return null
  return (
    <div class="dock stack">
      {hold && (
        <a class={next ? 'button wide' : 'button main wide'} href={to.hold(build, hold.id)}>
          <span>
            Sign <span class="line small">{hold.name}</span>
          </span>
        </a>
      )}
      {next && (
        <a class="button main wide" href={to.step(build, next.step)}>
          <span>
            Go on <span class="line small">{next.words}</span>
          </span>
        </a>
      )}
    </div>
  )
}

/** One build by stages and steps; the main action goes on where the work stands. */
export function BuildPage({ build }: { build: string }) {
  const held = useMemo(() => buildState(build), [build])
  const state = held.value
  if (!state)
    return (
      <>
        <StandHead title="Build" back="/" />
        <main class="page" id="main" aria-busy="true">
          <p>Looking in the book …</p>
        </main>
      </>
    )
  return (
    <div class="standing">
      <StandHead title={`${state.job} ${state.title}`} back="/" />
      <main class="floor" id="main">
        <div class="page stack">
          {state.note && <p class="job-note">{state.note}</p>}
          <Stages state={state} />
          <HoldList state={state} href={to.hold} />
          <section class="stack" aria-label="Pictures">
            <h2>Pictures</h2>
            <PhotoList build={build} photos={state.photos} />
            <PhotoKeys build={build} step={null} place={null} />
          </section>
          <EngineFacts state={state} />
        </div>
        <GoOn state={state} />
      </main>
    </div>
  )
}
