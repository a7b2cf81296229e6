/**
 * Places whose reading is on the disk but not in the view yet: a quick hand is ahead of the judge, and must not
 * be led back to a place that it has just filled.
 */
import type { PlaceView, StepView } from '../brain/types.ts'
import { placesOf } from './walk.ts'

export class JustKept {
  /** Place -> how many readings the view showed when its newest was kept. */
  private readonly counts = new Map<string, number>()

  add(place: PlaceView): void {
    this.counts.set(place.id, place.readings.length)
  }

  /** A newer view: what it shows is no longer only just kept. */
  seen(view: StepView): void {
    const places = placesOf(view)
    for (const [id, count] of this.counts) {
      if ((places.get(id)?.readings.length ?? 0) > count) this.counts.delete(id)
    }
  }

  get ids(): string[] {
    return [...this.counts.keys()]
  }
}
