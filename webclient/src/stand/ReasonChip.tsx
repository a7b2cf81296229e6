import type { Why } from '../brain/types.ts'
import type { Capture } from './capture.ts'

export const WHY_WORDS: Record<Why, string> = {
  first: 'first reading',
  repeat: 'repeat',
  second_person: 'second person',
  measured_again: 'measured again',
  typed_wrong: 'replaces the one typed wrong',
  part_changed: 'part changed',
}

/** Why the next reading is made, when a reason was picked from the history; it can be let go again. */
export function ReasonChip({ capture }: { capture: Capture }) {
  const picked = capture.reason.value
  if (!picked) return null
  return (
    <p class="reason">
      <span class="grow">Goes in as: {WHY_WORDS[picked.why]}</span>
      <button type="button" class="button plain" onClick={() => capture.because(null)}>
        Never mind
      </button>
    </p>
  )
}
