import { useSignal } from '@preact/signals'
import { useMemo } from 'preact/hooks'
import type { Goes, StepView } from '../brain/types.ts'
import { goesView } from '../parts/seam.ts'
import { AllFilled } from './AllFilled.tsx'
import { CaptureBody } from './CaptureBody.tsx'
import { GoCard } from './GoCard.tsx'
import { refusedOf } from './Guided.tsx'
import type { Work } from './work.ts'

function Order({ guide }: { guide: Goes | null }) {
  return (
    <>
      {guide?.order.map(({ words, shown, why }) => (
        <section key={words} class="go-order">
          <h3>{words}</h3>
          {shown && <p class="go-length">{shown}</p>}
          <p>{why}</p>
        </section>
      ))}
    </>
  )
}

/** A step of goes: each is read place by place; after it stands what it says, before anything else is read. */
export function GoesPage({ work, view }: { work: Work; view: StepView }) {
  const guide = useMemo(() => goesView(view.build, view.id), [view.build, view.id]).value
  const looked = useSignal('')
  const place = work.capture.place.value
  const hand = work.byHand.value || work.capture.text.value !== ''
  const now = guide?.now ?? null
  const card = guide?.begins === true && !hand && looked.value !== now ? guide.card : null
  if (guide && card && now !== null) {
    const go = () => {
      looked.value = now
      if (place?.id !== now) work.openByHand(now)
    }
    return <GoCard work={work} view={view} card={card} guide={guide} go={go} />
  }
  if (place) return <CaptureBody work={work} view={view} place={place} refused={refusedOf(guide)} />
  if (now !== null || guide === null)
    return (
      <main class="page" id="main" aria-busy="true">
        <p>Looking what this go says …</p>
      </main>
    )
  return (
    <AllFilled view={view} work={work}>
      {guide.refused && <p class="after">{guide.refused}</p>}
      <Order guide={guide} />
    </AllFilled>
  )
}
