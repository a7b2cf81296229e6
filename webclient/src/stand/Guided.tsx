import { useLayoutEffect, useMemo } from 'preact/hooks'
import type { Guide, PlaceView, StepView } from '../brain/types.ts'
import { guideView } from '../parts/seam.ts'
import { AllFilled } from './AllFilled.tsx'
import { CaptureBody } from './CaptureBody.tsx'
import { GuideCard } from './GuideCard.tsx'
import { Wait } from './Wait.tsx'
import { placesOf } from './walk.ts'
import type { Work } from './work.ts'

/** Why a method cannot be taken for this engine, by its id, as the method's place shows it. */
export function refusedOf(guide: Pick<Guide, 'methods'> | null): Record<string, string> {
  const found: Record<string, string> = {}
  for (const { id, refused } of guide?.methods ?? []) if (refused !== null) found[id] = refused
  return found
}

/** True when the open place is one that the guide leads through itself. */
export function isGuided(guide: Guide | null, place: PlaceView | null): boolean {
  return place !== null && (guide?.list ?? []).some((valve) => valve.place === place.id)
}

/**
 * A guided step: the questions that it rests on first, one by one; then the guide leads. A place that a
 * thumb picked from the list stands open with the pad, as in a row of readings.
 */
export function Guided({ work, view }: { work: Work; view: StepView }) {
  const guide = useMemo(() => guideView(view.build, view.id), [view.build, view.id]).value
  useLayoutEffect(() => {
    work.follow(guide?.now ? guide.list.map((valve) => valve.place) : [])
  }, [work, guide])
  const byHand = work.byHand.value
  const place = work.capture.place.value
  const now = guide?.now && placesOf(view).get(guide.now.place)
  const led = guide?.now && now && !byHand && (place === null || isGuided(guide, place))
  if (led && guide.now)
    return <GuideCard work={work} guide={guide} now={guide.now} place={now} view={view} />
  if (place)
    return (
      <CaptureBody work={work} view={view} place={place} refused={refusedOf(guide)}>
        {guide?.wait?.place === place.id && <Wait wait={guide.wait} />}
      </CaptureBody>
    )
  return <AllFilled view={view} work={work} after={guide?.after ?? null} />
}
