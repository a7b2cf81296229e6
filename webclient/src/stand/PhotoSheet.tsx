import type { PhotoView, PlaceView, StepView } from '../brain/types.ts'
import { PhotoKeys } from '../parts/PhotoKeys.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { Sheet } from '../parts/Sheet.tsx'

interface Props {
  view: StepView
  place: PlaceView
  close: () => void
}

/** A view that an earlier version kept knows of no pictures. */
export function picturesAt(view: StepView, place: PlaceView): PhotoView[] {
  return (view.photos ?? []).filter((photo) => photo.place === place.id)
}

/** Pictures of the place under the hand, and the keys to take one more. */
export function PhotoSheet({ view, place, close }: Props) {
  return (
    <Sheet title={`Pictures: ${place.words}`} close={close}>
      <PhotoKeys build={view.build} step={view.id} place={place.id} />
      <PhotoList build={view.build} photos={picturesAt(view, place)} />
    </Sheet>
  )
}
