/**
 * The drawing strip: where on the part the gauge goes. Which drawing fits is read from the words of the place
 * and its group; a place that no drawing knows gets the row of its group with its own spot lit.
 */
import type { PlaceView, StepView } from '../brain/types.ts'
import { Journal, looksLikeJournal } from './drawings/Journal.tsx'
import { looksRound, Round } from './drawings/Round.tsx'
import { Row } from './drawings/Row.tsx'
import { groupOf } from './Place.tsx'

function Spot({ place }: { place: PlaceView }) {
  if (looksLikeJournal(place)) return <Journal place={place} />
  if (looksRound(place)) return <Round place={place} />
  return null
}

export function DrawingStrip({ view, place }: { view: StepView; place: PlaceView }) {
  return (
    <figure class="drawing" aria-hidden="true">
      <Row view={view} group={groupOf(view, place)} place={place} />
      <Spot place={place} />
    </figure>
  )
}
