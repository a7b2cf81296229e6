/** Walking through the places of a step: which one comes next, which one to reopen on. Nothing is judged here. */
import type { PlaceView, ReadingView, StepView, ValueView } from '../brain/types.ts'

/** All places of a step by id, with those of every group. */
export function placesOf(view: StepView): Map<string, PlaceView> {
  const found = new Map<string, PlaceView>()
  for (const group of view.groups) for (const place of group.places) found.set(place.id, place)
  return found
}

/** A place that is answered by a key or in words; what a gauge types means nothing there. */
export function isAnswered({ kind }: PlaceView): boolean {
  return ['choice', 'flag', 'text', 'wrench'].includes(kind)
}

/** A place that still wants a hand: asked again by the lead, or required and empty. */
export function wantsHand(place: PlaceView): boolean {
  if (place.asked_again !== null) return true
  const answered = place.accepted !== null || place.not_measured !== null
  return place.required && !answered && !place.readings.some((reading) => reading.live)
}

/** Walking order, the part after `from` first and then from the start, `from` itself left out. */
function onward(walk: string[], from: string | null): string[] {
  const at = from === null ? -1 : walk.indexOf(from)
  return [...walk.slice(at + 1), ...walk.slice(0, Math.max(0, at))]
}

/**
 * Where to go after `from`: the next place in walking order that wants a hand, else null (all done).
 * `just` was recorded a moment ago, so that the view may not know it yet.
 */
export function nextPlace(view: StepView, from: string | null, just: string[] = []): string | null {
  const places = placesOf(view)
  const open = (id: string) => {
    const place = places.get(id)
    return place !== undefined && !just.includes(id) && wantsHand(place)
  }
  return onward(view.walk, from).find(open) ?? null
}

/** The neighbour in walking order, `by` places on; stays at the ends. */
export function neighbour(view: StepView, from: string, by: 1 | -1): string {
  const at = view.walk.indexOf(from)
  return view.walk[at + by] ?? from
}

/** Where a reopened page stands: on the half-typed place (first in walking order), else the next empty one. */
export function reopenOn(view: StepView, drafted: string[]): string | null {
  return view.walk.find((id) => drafted.includes(id)) ?? view.next ?? nextPlace(view, null)
}

/** The step's place for the temperature of the room and the part, while nothing stands there. */
export function emptyTemperature(view: StepView): PlaceView | null {
  const places = [...placesOf(view).values()]
  const found = places.find(({ kind }) => kind === 'temperature')
  if (!found || found.not_measured !== null) return null
  return found.readings.some(({ live }) => live) ? null : found
}

/** Ids of the step's values that satisfy `test`, over all groups. */
export function valuesThat(view: StepView, test: (value: ValueView) => boolean): string[] {
  const all = [...view.values, ...view.groups.flatMap((group) => group.values)]
  return all.filter(test).map(({ id }) => id)
}

/** The newest live readings of the step with a value of this kind, newest first. */
export function lastReadings(view: StepView, kind: string, count: number): ReadingView[] {
  const readings = [...placesOf(view).values()]
    .filter((place) => place.kind === kind)
    .flatMap((place) => place.readings)
    .filter((reading) => reading.live && reading.shown !== null)
  readings.sort((a, b) => (a.made_at < b.made_at ? 1 : a.made_at > b.made_at ? -1 : 0))
  return readings.slice(0, count)
}
