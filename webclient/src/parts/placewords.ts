import type { StepView } from '../brain/types.ts'

/** The words of a place of this step, by its id; null for a place that the step does not have. */
export function placeWordsOf(view: StepView): (place: string) => string | null {
  const places = view.groups.flatMap((group) => group.places)
  return (place) => places.find(({ id }) => id === place)?.words ?? null
}
