import { useState } from 'preact/hooks'
import type { PlaceView } from '../brain/types.ts'
import { Sheet } from '../parts/Sheet.tsx'
import { catalogue } from '../parts/seam.ts'
import type { Work } from './work.ts'

interface Props {
  work: Work
  place: PlaceView
  close: () => void
  title?: string
}

/** "Not measured, because …": the shop's usual reasons as keys, any other in words. */
export function SkipSheet({ work, place, close, title = 'Not measured, because …' }: Props) {
  const [words, setWords] = useState('')
  const skip = (reason: string) => {
    close()
    void work.goTo(place.id).then(() => work.capture.notMeasured(reason))
  }
  const send = (event: Event) => {
    event.preventDefault()
    if (words.trim() !== '') skip(words.trim())
  }
  return (
    <Sheet title={title} close={close}>
      <p>{place.words}</p>
      <ul class="keys-list">
        {(catalogue.value?.not_measured_reasons ?? []).map((reason) => (
          <li key={reason}>
            <button type="button" class="button plain wide left" onClick={() => skip(reason)}>
              {reason}
            </button>
          </li>
        ))}
      </ul>
      <form class="field" onSubmit={send}>
        <label for="skip-words">Another reason</label>
        <input
          id="skip-words"
          autocomplete="off"
          value={words}
          onInput={(event) => setWords(event.currentTarget.value)}
        />
        <button type="submit" class="button wide" disabled={words.trim() === ''}>
          Not measured
        </button>
      </form>
    </Sheet>
  )
}
