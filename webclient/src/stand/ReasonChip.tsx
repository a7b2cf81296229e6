import type { PlaceView, Why } from '../brain/types.ts'
import type { Capture } from './capture.ts'

const WORDS: Record<Why, string> = {
  first: 'first reading',
  repeat: 'repeat',
  second_person: 'second person',
  measured_again: 'measured again',
  typed_wrong: 'replaces the one typed wrong',
  part_changed: 'part changed',
}

/** Why this reading is made, whenever it is not simply the first; a picked reason can be let go again. */
export function ReasonChip({ capture, place }: { capture: Capture; place: PlaceView }) {
  const picked = capture.reason.value
  const why = picked?.why ?? place.next_why
  if (why === 'first') return null
  return (
    <p class="reason">
      <span>Goes into the book as: {WORDS[why]}</span>
      {picked && (
        <button type="button" class="button plain" onClick={() => capture.because(null)}>
          Never mind
        </button>
      )}
    </p>
  )
}
