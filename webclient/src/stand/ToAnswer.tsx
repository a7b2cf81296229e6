import type { PlaceView, StepView } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'
import { placesOf } from './walk.ts'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  place: PlaceView
}

/** An open flag that a yes or no of this step would answer, such as the gauge's zero: a tap leads there. */
export function ToAnswer({ work, view, place }: Props) {
  const places = placesOf(view)
  const flag = view.flags.find(
    ({ open, place: at }) =>
      open && at !== null && at !== place.id && places.get(at)?.kind === 'flag',
  )
  if (!flag) return null
  return (
    <button type="button" class="button plain wide left" onClick={() => void work.goTo(flag.place)}>
      <Sign name={flag.severity} /> <span class="grow">{flag.words}</span>
    </button>
  )
}
