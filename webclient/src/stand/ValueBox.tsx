import { useComputed } from '@preact/signals'
import type { ComponentChildren } from 'preact'
import { useEffect, useRef } from 'preact/hooks'
import type { PlaceView } from '../brain/types.ts'
import type { Capture } from './capture.ts'

interface Props {
  capture: Capture
  place: PlaceView
  unitWords: string
  pickUnit: () => void
  /** A caution wants its tap first: Enter, from a keyboard or gauge, keeps nothing and the digits stay. */
  held: boolean
  /** Stands in the empty box: the last values, or that nothing is typed. */
  children?: ComponentChildren
}

/** Smaller digits where many of them would not fit. */
function sizeOf(text: string): string {
  if (text.length < 8) return ''
  return text.length < 12 ? 'long' : 'longer'
}

/** While a reading is being kept the box does not change: what is typed waits for the next place. */
function hold(capture: Capture, event: InputEvent): void {
  // Enter sends the form and adds nothing: refused here, it would not be heard at all.
  if (!capture.busy.value || event.inputType === 'insertLineBreak') return
  event.preventDefault()
  if (event.inputType === 'insertText') capture.meanwhile(event.data ?? '')
  if (event.inputType === 'deleteContentBackward') capture.meanwhile(null)
}

/** What stands in the box while it is empty. */
function InBox({ capture, children }: { capture: Capture; children: ComponentChildren }) {
  const empty = useComputed(() => capture.text.value === '').value
  return empty ? <div class="in-box">{children}</div> : null
}

/** The typed value, and its unit as a button beside it. The phone's own keyboard stays away: the pad is ours. */
export function ValueBox({ capture, place, unitWords, pickUnit, held, children }: Props) {
  const box = useRef<HTMLInputElement>(null)
  useEffect(() => {
    box.current?.focus({ preventScroll: true })
    scrollTo(0, 0)
    box.current?.closest('.page')?.scrollTo(0, 0)
    box.current?.form?.scrollIntoView({ block: 'nearest' })
  }, [place.id])
  const submit = (event: Event) => {
    event.preventDefault()
    if (!held) void capture.next()
  }
  // Bound to the signals: the box changes after all that is drawn anew. The browser lays the page out at once for a
  // changed box that has the caret, and would have to do it again for each line that changes after it.
  const style = useComputed(() => `value ${sizeOf(capture.text.value)}`)
  return (
    <form class="value-row" onSubmit={submit}>
      <div class="box">
        <input
          ref={box}
          class={style}
          aria-label={`Value of ${place.words}`}
          aria-describedby="verdict"
          aria-busy={capture.busy}
          inputMode="none"
          autocomplete="off"
          enterKeyHint="next"
          maxLength={40}
          value={capture.text}
          onBeforeInput={(event) => hold(capture, event)}
          onInput={(event) => capture.type(event.currentTarget.value)}
        />
        <InBox capture={capture}>{children}</InBox>
      </div>
      {unitWords !== '' && (
        <button type="button" class="button unit" onClick={pickUnit}>
          <span class="unseen">Unit: </span>
          {unitWords}
        </button>
      )}
    </form>
  )
}
