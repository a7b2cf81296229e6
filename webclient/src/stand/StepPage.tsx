import { effect, untracked } from '@preact/signals'
import { useEffect, useMemo } from 'preact/hooks'
import type { StepView } from '../brain/types.ts'
import { useScreenAwake } from '../parts/feel.ts'
import { address, asked, to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { buildState, halfEntered, stepView } from '../parts/seam.ts'
import { AllFilled } from './AllFilled.tsx'
import { CaptureBody } from './CaptureBody.tsx'
import { GoesPage } from './GoesPage.tsx'
import { Guided } from './Guided.tsx'
import { useGaugeKeys } from './gaugekeys.ts'
import { JointPage } from './JointPage.tsx'
import { TablePage } from './TablePage.tsx'
import { Work } from './work.ts'

interface Props {
  build: string
  step: string
}

/** One `Work` for as long as the step stands, kept up with every newer view of it. */
function useWork({ build, step }: Props): { work: Work; view: StepView | null } {
  const work = useMemo(() => new Work(build, step), [build, step])
  const view = useMemo(() => stepView(build, step), [build, step])
  useEffect(
    () =>
      effect(() => {
        const now = view.value
        // Only a newer view counts: leaving the last place with the old one would open that place again.
        untracked(() => {
          if (now === null) return
          if (work.view === null) void work.start(now)
          else work.refresh(now)
        })
      }),
    [work, view],
  )
  useEffect(() => {
    const stop = effect(() => {
      halfEntered.value = work.capture.text.value !== ''
    })
    return () => {
      stop()
      halfEntered.value = false
    }
  }, [work])
  return { work, view: view.value }
}

function Hand({ work, view }: { work: Work; view: StepView }) {
  const place = work.capture.place.value
  if (place === null && work.anew.value) return <main class="floor" id="main" aria-busy="true" />
  if (view.style === 'guided') return <Guided work={work} view={view} />
  if (view.style === 'joint') return <JointPage work={work} view={view} />
  if (view.style === 'goes') return <GoesPage work={work} view={view} />
  if (place) return <CaptureBody work={work} view={view} place={place} />
  return <AllFilled view={view} work={work} />
}

/** A step at the stand: the hand's page, or the whole table one tap away. */
export function StepPage(props: Props) {
  const { build, step } = props
  useScreenAwake()
  const { work, view } = useWork(props)
  useGaugeKeys(work)
  const job = useMemo(() => buildState(build), [build]).value?.job ?? ''
  const table = asked(address.value.query, 'show') === 'table'
  if (!view || !work.ready.value)
    return (
      <div class="standing">
        <StandHead title="Step" over={job} back={to.build(build)} />
        <main class="page" id="main" aria-busy="true">
          <p>Looking in the book …</p>
        </main>
      </div>
    )
  if (table) return <TablePage work={work} view={view} job={job} />
  return (
    <div class="standing">
      <StandHead title={view.title} over={job} back={to.build(build)}>
        <a class="button plain table-key" href={to.step(build, step, 'table')}>
          Table
        </a>
      </StandHead>
      <Hand work={work} view={view} />
    </div>
  )
}
