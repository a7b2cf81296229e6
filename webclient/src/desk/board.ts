/** The order of the board. */
import type { State } from '../brain/types.ts'

const RANK = ['STOP', 'HOLD', 'WARN', 'NOTE']

function weight(state: State): number {
  const worst = state.flags.find(({ open }) => open) ?? state.flags[0]
  if (!worst) return 2 * RANK.length
  return RANK.indexOf(worst.severity) + (worst.open ? 0 : RANK.length)
}

/** Builds with the worst open flag first, answered ones after them, then those touched last. */
export function worstFirst(engines: State[]): State[] {
  const at = (state: State) => state.last_touch?.at ?? ''
  return [...engines].sort((a, b) => weight(a) - weight(b) || (at(a) < at(b) ? 1 : -1))
}
