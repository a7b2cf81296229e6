import type { Typed } from '../brain/types.ts'
import type { Capture } from './capture.ts'

/** Keys must not take the caret from the box. */
const stay = (event: Event) => event.preventDefault()

interface StepProps {
  capture: Capture
  sign: string
  by: string
  to: Typed | null
}

function Step({ capture, sign, by, to }: StepProps) {
  return (
    <button
      type="button"
      class="button plain tool"
      disabled={to === null}
      onMouseDown={stay}
      onClick={() => to && capture.type(to.text)}
    >
      {sign} {by}
    </button>
  )
}

/** One step of the gauge less or more than what stands in the box, beside the digits that it belongs to. */
export function Steppers({ capture }: { capture: Capture }) {
  const preview = capture.preview.value
  const text = capture.text.value
  if (!preview?.steps || text === '') return null
  const { by, less, more } = preview.steps
  // An answer to the digits before these would take the last one back.
  const fresh = preview.value?.text === text.trim()
  return (
    <fieldset class="steppers" aria-label="One step less or more">
      <Step capture={capture} sign="−" by={by} to={fresh ? less : null} />
      <Step capture={capture} sign="+" by={by} to={fresh ? more : null} />
    </fieldset>
  )
}
