import { useMemo } from 'preact/hooks'
import type { HoldView, State } from '../brain/types.ts'
import { HoldBody } from '../parts/HoldBody.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { to } from '../parts/router.ts'
import { buildState, holdView, session } from '../parts/seam.ts'
import { StepFold } from './StepFold.tsx'

/** What a signature from afar rests on: the steps of the Hold with their values, and the pictures of the engine. */
function Evidence({ state, view }: { state: State; view: HoldView }) {
  const steps = state.stages
    .flatMap((stage) => stage.steps)
    .filter(({ id }) => view.sign.steps.includes(id))
  return (
    <section class="stack" id="evidence" aria-label="Values and pictures">
      <h2>Values and pictures</h2>
      {steps.map((step) => (
        <StepFold key={step.id} build={state.build} step={step} />
      ))}
      <PhotoList build={state.build} photos={state.photos} />
      {steps.length === 0 && state.photos.length === 0 && (
        <p class="soft">No step of this book and no picture belongs to it.</p>
      )}
    </section>
  )
}

/** A Hold at the desk: the lead signs from the values and pictures, or at the engine. */
export function DeskHold({ build, hold }: { build: string; hold: string }) {
  const view = useMemo(() => holdView(build, hold), [build, hold]).value
  const state = useMemo(() => buildState(build), [build]).value
  const person = session.value?.person?.id ?? null
  if (!view || !state)
    return (
      <main class="desk-page" id="main" aria-busy="true">
        <p>Looking in the book …</p>
      </main>
    )
  return (
    <main class="desk-page stack" id="main">
      <p>
        <a href={to.deskBuild(build)}>
          {state.job} {state.title}
        </a>
      </p>
      <h1>{view.name}</h1>
      <div class="desk-hold">
        <HoldBody
          view={view}
          person={person}
          where={{ signedIn: person, at: 'away' }}
          stepHref={() => '#evidence'}
        />
        <Evidence state={state} view={view} />
      </div>
    </main>
  )
}
