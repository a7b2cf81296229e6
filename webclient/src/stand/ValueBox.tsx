import { useComputed, useSignalEffect } from '@preact/signals'
import type { ComponentChildren, RefObject } from 'preact'
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks'
import type { PlaceView } from '../brain/types.ts'
import type { Capture } from './capture.ts'
import { LONGEST } from './pad.ts'

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

/** Smaller digits where many of them would not fit; a text that no pad writes may be wider than the box. */
function sizeOf(text: string): string {
  if (text.length < 8) return ''
  if (text.length < 12) return 'long'
  return text.length <= LONGEST ? 'longer' : 'longer wide'
}

/** What the box itself says is brought to what is typed; a caret that stands right is left alone. */
function bringUp(box: HTMLInputElement | null, text: string): void {
  if (box && box.value !== text) box.value = text
}

/** Longer than a key's picture takes on a slow phone, shorter than anybody looks for the caret. */
const FOLLOWS_MS = 60

/**
 * The box follows after the picture: a changed box that has the caret is laid out at once, with the whole page, and
 * between a key and its verdict nobody should wait for that. The digits over it do not wait.
 */
function useFollowing(box: RefObject<HTMLInputElement>, capture: Capture): () => void {
  const follow = () => bringUp(box.current, capture.text.peek())
  useLayoutEffect(follow, []) // A box that has just come up says at once what was typed before it was there.
  useSignalEffect(() => {
    if (box.current?.value === capture.text.value) return
    const soon = setTimeout(follow, FOLLOWS_MS)
    return () => clearTimeout(soon)
  })
  return follow
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
  const follow = useFollowing(box, capture)
  const size = useComputed(() => `value ${sizeOf(capture.text.value)}`)
  const shown = useComputed(() => `${size.value} digits`)
  return (
    <form class="value-row" onSubmit={submit}>
      <div class="box">
        <input
          ref={box}
          class={size}
          aria-label={`Value of ${place.words}`}
          aria-describedby="verdict"
          aria-busy={capture.busy}
          inputMode="none"
          autocomplete="off"
          enterKeyHint="next"
          maxLength={40}
          // A gauge or keyboard writes at the end of all that was typed before.
          onKeyDown={follow}
          onBeforeInput={(event) => hold(capture, event)}
          onInput={(event) => capture.type(event.currentTarget.value)}
        />
        <span class={shown} aria-hidden="true">
          {capture.text}
        </span>
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
