import type { GroupView, PlaceView, StepView } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'
import type { Capture } from './capture.ts'
import { WHY_WORDS } from './ReasonChip.tsx'

/** The group that a place lies in. */
export function groupOf(view: StepView, place: PlaceView): GroupView | null {
  return view.groups.find(({ id }) => id === place.group) ?? null
}

/** The position in words. */
export function PlaceHead({ place }: { place: PlaceView }) {
  return <h2 class="place-words">{place.words}</h2>
}

/** What must not be overlooked at this place. */
export function PlaceWarnings({ view, place }: { view: StepView; place: PlaceView }) {
  const again = place.asked_again
  return (
    <>
      {view.flags
        .filter(({ open, severity, place: at }) => open && severity === 'STOP' && at === place.id)
        .map(({ id, words }) => (
          <p key={id} class="flag stop">
            <Sign name="STOP" /> <span>{words}</span>
          </p>
        ))}
      {again !== null && (
        <p class="flag warn">
          <Sign name="WARN" /> <span>The lead asks to measure again: {again}</span>
        </p>
      )}
      {place.disagree && (
        <p class="flag warn">
          <Sign name="WARN" /> <span>Two readings disagree. Measure once more.</span>
        </p>
      )}
    </>
  )
}

/** What holds here now, and what a new reading would be, unless a reason was picked already. */
function Holds({ capture, place }: { capture: Capture; place: PlaceView }) {
  if (!place.accepted) return null
  const next = capture.reason.value ? '' : ` A new one goes in as: ${WHY_WORDS[place.next_why]}.`
  return (
    <p class="soft">
      Holds now: {place.accepted.words}.{next}
    </p>
  )
}

/** What to know before the gauge goes on, and which number was set aside. */
export function PlaceNotes({ capture, place }: { capture: Capture; place: PlaceView }) {
  const tried = capture.tried.value
  return (
    <>
      <Holds capture={capture} place={place} />
      {place.not_measured !== null && (
        <p class="soft">Not measured, because {place.not_measured}</p>
      )}
      {place.hint !== null && !place.accepted && <p class="soft">{place.hint}</p>}
      {tried.length > 0 && <p class="soft">Set aside, not kept: {tried.join(', ')}</p>}
    </>
  )
}
