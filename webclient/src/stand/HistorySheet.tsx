import { useState } from 'preact/hooks'
import type { PlaceView, ReadingView, Why } from '../brain/types.ts'
import { InkLine } from '../parts/Ink.tsx'
import { Sheet } from '../parts/Sheet.tsx'
import { StrikeForm } from '../parts/StrikeForm.tsx'
import { isHand } from '../parts/spell.ts'
import type { Work } from './work.ts'

interface Props {
  work: Work
  place: PlaceView
  close: () => void
}

const AGAIN: { why: Why; words: string }[] = [
  { why: 'repeat', words: 'Repeat' },
  { why: 'measured_again', words: 'Measured again' },
  { why: 'second_person', words: 'Second person' },
  { why: 'part_changed', words: 'Part changed' },
]

function Actions({
  work,
  reading,
  close,
}: {
  work: Work
  reading: ReadingView
  close: () => void
}) {
  const [striking, setStriking] = useState(false)
  if (!reading.live) return null
  const wrong = () => {
    work.capture.because({ why: 'typed_wrong', corrects: reading.id })
    close()
  }
  const strike = (reason: string) => {
    void work.capture.strikeOut(reading.id, reason)
    close()
  }
  return (
    <>
      <div class="row">
        <button type="button" class="button plain" onClick={wrong}>
          Typed wrong
        </button>
        {isHand(reading.person) && (
          <button type="button" class="button plain" onClick={() => setStriking(!striking)}>
            Strike out
          </button>
        )}
      </div>
      {striking && <StrikeForm strike={strike} />}
    </>
  )
}

/** Everything read at this place, newest last, and the ways to add to it: nothing is ever taken away. */
export function HistorySheet({ work, place, close }: Props) {
  const again = (why: Why) => {
    work.capture.because({ why, corrects: null })
    close()
  }
  return (
    <Sheet title={place.words} close={close}>
      <ol class="ink-list" aria-label="Readings">
        {place.readings.map((reading) => (
          <li key={reading.id}>
            <InkLine reading={reading} />
            <Actions work={work} reading={reading} close={close} />
          </li>
        ))}
      </ol>
      <section class="stack" aria-label="New reading">
        <h3>A new reading, because:</h3>
        <div class="two">
          {AGAIN.map(({ why, words }) => (
            <button key={why} type="button" class="button" onClick={() => again(why)}>
              {words}
            </button>
          ))}
        </div>
      </section>
    </Sheet>
  )
}
