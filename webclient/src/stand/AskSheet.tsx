import { useLayoutEffect, useRef, useState } from 'preact/hooks'
import { Sheet } from '../parts/Sheet.tsx'
import { Sign } from '../parts/signs.tsx'
import type { Ask } from './asks.ts'
import type { Capture } from './capture.ts'
import { unitWords } from './UnitSheet.tsx'
import { WaitLeft } from './Wait.tsx'

type AskOf<About extends Ask['about']> = Extract<Ask, { about: About }>

/** What may have slipped, each offer as a key; one "no" answers all of them. */
function AskSlip({ capture, ask }: { capture: Capture; ask: AskOf<'slip'> }) {
  const offers = ask.slips.flatMap(({ offer }) => (offer ? [offer] : []))
  return (
    <>
      {ask.slips.map(({ message }) => (
        <p key={message} class="ask-line">
          {message}
        </p>
      ))}
      <div class="stack answers">
        {offers.map((offer) => (
          <button
            key={offer.text}
            type="button"
            class="button main wide"
            onClick={() => capture.takeOffer(offer)}
          >
            {[offer.text, unitWords(offer.unit)].filter(Boolean).join(' ')}
          </button>
        ))}
        <button type="button" class="button wide tall" onClick={() => void capture.foundSo('')}>
          No, found so
        </button>
      </div>
    </>
  )
}

/** Done before its wait was over, or what must not be done: how long still, and that it may be so all the same. */
function AskDone({ capture, ask }: { capture: Capture; ask: AskOf<'slip'> }) {
  const wait = ask.slips.find((slip) => slip.wait)?.wait
  return (
    <>
      {ask.slips.map(({ message }) => (
        <p key={message} class="ask-line">
          {message}
        </p>
      ))}
      {wait && <WaitLeft wait={wait} style="wait-left" />}
      <div class="stack answers">
        <button type="button" class="button main wide" onClick={() => capture.leave()}>
          {wait ? 'Wait' : 'Back'}
        </button>
        <button type="button" class="button wide tall" onClick={() => void capture.foundSo('')}>
          Found so, keep it
        </button>
      </div>
    </>
  )
}

function NoteForm({ capture }: { capture: Capture }) {
  const [note, setNote] = useState('')
  const field = useRef<HTMLInputElement>(null)
  useLayoutEffect(() => field.current?.focus(), [])
  const send = (event: Event) => {
    event.preventDefault()
    if (note.trim() !== '') void capture.foundSo(note.trim())
  }
  return (
    <form class="field" onSubmit={send}>
      <label for="found-note">Found so. Note for the lead</label>
      <input
        id="found-note"
        ref={field}
        autocomplete="off"
        value={note}
        onInput={(event) => setNote(event.currentTarget.value)}
      />
      <button type="submit" class="button main wide" disabled={note.trim() === ''}>
        Keep with note
      </button>
    </form>
  )
}

function AskLimit({ capture, ask }: { capture: Capture; ask: AskOf<'limit'> }) {
  const [noting, setNoting] = useState(false)
  return (
    <>
      <p class="ask-line flag warn">
        <Sign name={ask.verdict} /> <span>{ask.sentence}</span>
      </p>
      {noting ? (
        <NoteForm capture={capture} />
      ) : (
        <div class="stack answers">
          <button type="button" class="button main wide" onClick={() => capture.measureAgain()}>
            Measure again
          </button>
          <button type="button" class="button wide tall" onClick={() => setNoting(true)}>
            Found so, with a note
          </button>
        </div>
      )}
    </>
  )
}

function AskUnjudged({ capture, ask }: { capture: Capture; ask: AskOf<'unjudged'> }) {
  return (
    <>
      <p class="ask-line">{ask.sentence}</p>
      <p>The reading can be kept as typed; it is judged later.</p>
      <button type="button" class="button main wide" onClick={() => void capture.foundSo('')}>
        Keep it unjudged
      </button>
    </>
  )
}

/** A question before a reading is kept. Closing it leaves the digits in the box. */
export function AskSheet({ capture }: { capture: Capture }) {
  const ask = capture.ask.value
  if (!ask) return null
  const done =
    ask.about === 'slip' && ask.slips.every(({ sort }) => sort !== undefined && sort !== 'slip')
  const title = ask.about === 'slip' && !done ? 'Is that what the gauge said?' : 'Before it is kept'
  const words =
    capture.unit.value === null && capture.preview.value?.value
      ? capture.preview.value.value.words
      : capture.text.value
  return (
    <Sheet key={ask.about} title={title} close={() => capture.leave()}>
      <p class="ask-value">
        {words} <span class="ask-unit">{unitWords(capture.unit.value)}</span>
      </p>
      {ask.about === 'slip' &&
        (done ? <AskDone capture={capture} ask={ask} /> : <AskSlip capture={capture} ask={ask} />)}
      {ask.about === 'limit' && <AskLimit capture={capture} ask={ask} />}
      {ask.about === 'unjudged' && <AskUnjudged capture={capture} ask={ask} />}
    </Sheet>
  )
}
