import { useMemo } from 'preact/hooks'
import { HoldBody } from '../parts/HoldBody.tsx'
import { to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { buildState, holdView } from '../parts/seam.ts'
import { hand } from '../parts/spell.ts'

/** A Hold at the stand: two people sign it here, each with his own PIN. */
export function HoldPage({ build, hold }: { build: string; hold: string }) {
  const view = useMemo(() => holdView(build, hold), [build, hold]).value
  const job = useMemo(() => buildState(build), [build]).value?.job ?? ''
  const back = to.build(build)
  return (
    <>
      <StandHead title={view?.name ?? 'Hold'} over={job} back={back} />
      <main class="page" id="main" aria-busy={view === null}>
        {view ? (
          <HoldBody
            view={view}
            person={hand.value}
            where={{ signedIn: null, at: 'engine' }}
            stepHref={(step) => to.step(build, step, 'table')}
          />
        ) : (
          <p>Looking in the book …</p>
        )}
      </main>
    </>
  )
}
