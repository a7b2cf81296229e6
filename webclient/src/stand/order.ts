/** In which order engines stand on the first screen: those last touched by this person first, then the newest. */
import type { State } from '../brain/types.ts'

export function mineFirst(engines: State[], isMine: (person: string) => boolean): State[] {
  const mine = (state: State) => (state.last_touch && isMine(state.last_touch.person) ? 0 : 1)
  const touched = (state: State) => state.last_touch?.at ?? ''
  return [...engines].sort(
    (a, b) => mine(a) - mine(b) || (touched(a) < touched(b) ? 1 : touched(a) > touched(b) ? -1 : 0),
  )
}

/**
 * The same engines, those that stood before where they stood and new ones after them: neither a state that is worked
 * out anew nor an engine that arrives may push another card under the thumb. `stood`: builds, topmost first.
 */
export function steady(list: State[], stood: string[]): State[] {
  const places = new Map(stood.map((build, at) => [build, at]))
  const place = ({ build }: State) => places.get(build) ?? stood.length
  return [...list].sort((a, b) => place(a) - place(b))
}

/** A stage is named by its stretch of work and the hold that ends it; a card has room for the stretch alone. */
function short(title: string): string {
  return title.split(',')[0] ?? title
}

/** The stage where work goes on: that of the next place, else the last one with a step begun, else the first. */
export function stageOf(state: State): string {
  const at = state.stages.find(({ steps }) => steps.some(({ id }) => id === state.next?.step))
  const begun = state.stages.filter(({ steps }) =>
    steps.some((step) => step.state !== 'not started'),
  )
  return short((at ?? begun.at(-1) ?? state.stages[0])?.title ?? '')
}
