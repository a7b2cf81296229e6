import { useMemo, useState } from 'preact/hooks'
import type { State, StepSummary } from '../brain/types.ts'
import { CautionList } from '../parts/CautionList.tsx'
import { EngineFacts } from '../parts/EngineFacts.tsx'
import { FlagList } from '../parts/FlagLine.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { placeWordsOf } from '../parts/placewords.ts'
import { to } from '../parts/router.ts'
import { StepTable } from '../parts/StepTable.tsx'
import { buildState, stepView } from '../parts/seam.ts'
import { Said } from '../parts/signs.tsx'
import { nameOf } from '../parts/spell.ts'
import { moment } from '../parts/when.ts'
import { ChangeEngine } from './ChangeEngine.tsx'
import { ChangeLimits } from './ChangeLimits.tsx'
import { CustomerSection } from './CustomerSection.tsx'

function StepBody({ build, step }: { build: string; step: string }) {
  const view = useMemo(() => stepView(build, step), [build, step]).value
  if (!view || view.id !== step) return <p aria-busy="true">Looking in the book …</p>
  return (
    <div class="stack">
      <p>{view.purpose}</p>
      {view.cautions.length > 0 && <h4>Cautions</h4>}
      <CautionList cautions={view.cautions} />
      <FlagList flags={view.flags} label={`Flags of ${view.title}`} />
      <StepTable view={view} />
      <PhotoList build={build} photos={view.photos} placeWords={placeWordsOf(view)} />
    </div>
  )
}

function StepFold({ build, step }: { build: string; step: StepSummary }) {
  const [open, setOpen] = useState(step.worst !== null)
  return (
    <details
      class="fold step-fold"
      open={open}
      onToggle={(event) => setOpen(event.currentTarget.open)}
    >
      <summary>
        <h3>{step.title}</h3>
        <Said name={step.state} />
        <span>
          {step.filled} of {step.of}
        </span>
        {step.photos > 0 && (
          <span>
            {step.photos} {step.photos === 1 ? 'picture' : 'pictures'}
          </span>
        )}
        {step.signed && (
          <span>
            signed by {nameOf(step.signed.person)}, {moment(step.signed.at)}
          </span>
        )}
      </summary>
      {open && <StepBody build={build} step={step.id} />}
    </details>
  )
}

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
      {state.photos?.length > 0 && <h2>Pictures of the engine</h2>}
      <PhotoList build={build} photos={state.photos} />
      <EngineFacts state={state} />
      <ChangeEngine state={state} />
      <ChangeLimits state={state} />
    </main>
  )
}
