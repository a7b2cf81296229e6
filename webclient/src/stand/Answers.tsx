/** Places that are answered and not measured: a choice, a yes or no, words. */
import { useState } from 'preact/hooks'
import type { PlaceView } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'
import type { Capture } from './capture.ts'

interface Props {
  capture: Capture
  place: PlaceView
  /** Why a choice cannot be taken for this engine, by its id. */
  refused?: Record<string, string>
}

function Refused({ why }: { why: string }) {
  return (
    <p class="flag warn">
      <Sign name="WARN" /> <span>{why}</span>
    </p>
  )
}

/** The answer that holds now; a view shows a choice by its words. */
function holds(place: PlaceView, id: string, words: string): boolean {
  return place.accepted !== null && [id, words].includes(place.accepted.text)
}

export function ChoiceInput({ capture, place, refused = {} }: Props) {
  return (
    <ul class={place.choices.length > 6 ? 'dock many' : 'dock keys-list'} aria-label={place.words}>
      {place.choices.map(({ id, words }) => (
        <li key={id}>
          <button
            type="button"
            class="button wide tall"
            disabled={refused[id] !== undefined}
            aria-pressed={holds(place, id, words)}
            onClick={() => void capture.put({ text: id, unit: null })}
          >
            {words}
          </button>
          {refused[id] !== undefined && <Refused why={refused[id]} />}
        </li>
      ))}
    </ul>
  )
}

export function FlagInput({ capture, place }: Props) {
  const say = (text: string) => void capture.put({ text, unit: null })
  return (
    <div class="dock two">
      {['yes', 'no'].map((text) => (
        <button
          key={text}
          type="button"
          class="button tall flag-key"
          aria-pressed={holds(place, text, text === 'yes' ? 'Yes' : 'No')}
          onClick={() => say(text)}
        >
          {text === 'yes' ? 'Yes' : 'No'}
        </button>
      ))}
    </div>
  )
}

export function TextInput({ capture, place }: Props) {
  const [empty, setEmpty] = useState(capture.text.value.trim() === '')
  const typed = (text: string) => {
    capture.type(text)
    setEmpty(text.trim() === '')
  }
  const send = (event: Event) => {
    event.preventDefault()
    void capture.next()
  }
  return (
    <form class="dock field" onSubmit={send}>
      <label for="words">{place.words}</label>
      <textarea
        id="words"
        value={capture.text.value}
        onInput={(event) => typed(event.currentTarget.value)}
      />
      <button type="submit" class="button main wide" disabled={empty}>
        Next
      </button>
    </form>
  )
}
