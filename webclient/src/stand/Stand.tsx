import { address, match, to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { people, trust } from '../parts/seam.ts'
import { hand } from '../parts/spell.ts'
import { TakeKeys } from '../parts/TakeKeys.tsx'
import { BuildPage } from './BuildPage.tsx'
import { Engines } from './Engines.tsx'
import { HoldPage } from './HoldPage.tsx'
import { Reckoning, ReckonPage } from './ReckonPage.tsx'
import { StepPage } from './StepPage.tsx'

/** Nobody to choose from: the people come with the first contact, and that wants a device that has joined. */
function NobodyKnown() {
  if (trust.value === 'not joined')
    return <p>The people of the shop come onto this phone once it has joined.</p>
  return (
    <p>
      This phone does not know the people of the shop yet. Bring it into reach of the shop once;
      after that it works without.
    </p>
  )
}

function WhoIsThere() {
  return (
    <>
      <StandHead title="Who is at the stand?" />
      <main class="page stack" id="main">
        {people.value.length === 0 ? <NobodyKnown /> : <TakeKeys />}
      </main>
    </>
  )
}

function Lost() {
  return (
    <>
      <StandHead title="Nothing is kept at this address" back="/" />
      <main class="page stack" id="main">
        <p>The address may have been cut short.</p>
        <a class="button main" href="/">
          To the engines
        </a>
      </main>
    </>
  )
}

/** The phone's side of the app: who is there, then engines, build, step. */
export function Stand() {
  const { path } = address.value
  if (hand.value === undefined) return null
  if (hand.value === null) return <WhoIsThere />
  const step = match('/build/:id/step/:step', path)
  if (step?.id && step.step)
    return <StepPage key={`${step.id}/${step.step}`} build={step.id} step={step.step} />
  const hold = match('/build/:id/hold/:hold', path)
  if (hold?.id && hold.hold)
    return <HoldPage key={`${hold.id}/${hold.hold}`} build={hold.id} hold={hold.hold} />
  const build = match('/build/:id', path)
  if (build?.id) return <BuildPage key={build.id} build={build.id} />
  const calculator = match('/calculators/:name', path)?.name
  if (calculator) return <Reckoning key={calculator} name={calculator} />
  if (match(to.calculators, path)) return <ReckonPage />
  return match('/', path) ? <Engines /> : <Lost />
}
