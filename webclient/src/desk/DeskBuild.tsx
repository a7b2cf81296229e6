import { useMemo } from 'preact/hooks'
import type { State } from '../brain/types.ts'
import { EngineFacts } from '../parts/EngineFacts.tsx'
import { FlagList } from '../parts/FlagLine.tsx'
import { HoldList } from '../parts/HoldList.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { to } from '../parts/router.ts'
import { buildState } from '../parts/seam.ts'
import { ChangeEngine } from './ChangeEngine.tsx'
import { ChangeLimits } from './ChangeLimits.tsx'
import { CustomerSection } from './CustomerSection.tsx'
import { StepFold } from './StepFold.tsx'
import { Tightened } from './Tightened.tsx'

function Stages({ state }: { state: State }) {
  return (
    <>
      {state.stages.map((stage) => (
        <section key={stage.id} class="stage" aria-label={stage.title}>
          <h2>{stage.title}</h2>
          {stage.steps.map((step) => (
            <StepFold key={step.id} build={state.build} step={step} />
          ))}
        </section>
      ))}
    </>
  )
}

/** One build at the desk: every value against its limit and source, every reading with who, when and with what. */
export function DeskBuild({ build }: { build: string }) {
  const state = useMemo(() => buildState(build), [build]).value
  if (!state)
    return (
      <main class="desk-page" id="main" aria-busy="true">
        <p>Looking in the book …</p>
      </main>
    )
  const photos = state.photos.filter(({ place }) => place === null)
  return (
    <main class="desk-page stack" id="main">
      <h1>
        {state.job} <span class="card-word">{state.title}</span>
      </h1>
      {state.note && <p class="job-note">{state.note}</p>}
      <p class="row">
        <a class="button" href={to.review}>
          To what waits for you
        </a>
        <a class="button plain" href={to.label(build)}>
          Label
        </a>
      </p>
      <FlagList flags={state.flags.filter(({ open }) => open)} label="Open flags" />
      <CustomerSection build={build} />
      <Stages state={state} />
      <HoldList state={state} href={to.deskHold} />
      {photos.length > 0 && <h2>Pictures of the engine</h2>}
      <PhotoList build={build} photos={photos} />
      <EngineFacts state={state} />
      <ChangeEngine state={state} />
      <ChangeLimits state={state} />
      <Tightened build={build} />
    </main>
  )
}
