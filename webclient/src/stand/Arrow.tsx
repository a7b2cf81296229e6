import type { PlaceView } from '../brain/types.ts'
import { neighbour } from './walk.ts'
import type { Work } from './work.ts'

/** Walks by hand to the place before or after. */
export function Arrow({ work, place, by }: { work: Work; place: PlaceView; by: 1 | -1 }) {
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
