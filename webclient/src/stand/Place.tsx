import type { GroupView, PlaceView, StepView } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'
import type { Capture } from './capture.ts'
import { neighbour } from './walk.ts'
import type { Work } from './work.ts'

/** The group that a place lies in. */
export function groupOf(view: StepView, place: PlaceView): GroupView | null {
  return view.groups.find(({ id }) => id === place.group) ?? null
}

function Arrow({ work, place, by }: { work: Work; place: PlaceView; by: 1 | -1 }) {
  const beside = work.view ? neighbour(work.view, place.id, by) : place.id
  const way = by === 1 ? 'M9 4l8 8-8 8' : 'M15 4l-8 8 8 8'
  return (
    <button
      type="button"
      class="button plain arrow"
      aria-label={by === 1 ? 'Place after' : 'Place before'}
      disabled={beside === place.id}
      onClick={() => void work.goTo(beside)}
    >
      <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
        <path d={way} fill="none" stroke="currentColor" stroke-width="3" />
      </svg>
    </button>
  )
}

/** The position in words, between two arrows that walk by hand. */
export function PlaceHead({ work, place }: { work: Work; place: PlaceView }) {
  return (
    <div class="place-head">
      <Arrow work={work} place={place} by={-1} />
      <h2 class="place-words">{place.words}</h2>
      <Arrow work={work} place={place} by={1} />
    </div>
  )
}

function lines(place: PlaceView): { sign: 'WARN' | 'NOTE'; words: string }[] {
  const found: { sign: 'WARN' | 'NOTE'; words: string }[] = []
  if (place.asked_again !== null)
    found.push({ sign: 'WARN', words: `The lead asks to measure again: ${place.asked_again}` })
  if (place.disagree)
    found.push({ sign: 'WARN', words: 'Two readings disagree. Measure once more.' })
  if (place.accepted) found.push({ sign: 'NOTE', words: `Holds now: ${place.accepted.words}` })
  if (place.not_measured !== null)
    found.push({ sign: 'NOTE', words: `Not measured, because ${place.not_measured}` })
  if (place.hint !== null && !place.accepted) found.push({ sign: 'NOTE', words: place.hint })
  return found
}

/** What to know about this place before the gauge goes on, and which number was set aside. */
export function PlaceNotes({ capture, place }: { capture: Capture; place: PlaceView }) {
  const tried = capture.tried.value
  return (
    <div class="place-notes">
      {lines(place).map(({ sign, words }) => (
        <p key={words} class={sign === 'WARN' ? 'flag warn' : 'soft'}>
          {sign === 'WARN' && <Sign name={sign} />} <span>{words}</span>
        </p>
      ))}
      {tried.length > 0 && <p class="soft">Set aside, not kept: {tried.join(', ')}</p>}
    </div>
  )
}
