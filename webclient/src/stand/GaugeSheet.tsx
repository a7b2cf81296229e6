import { useEffect, useState } from 'preact/hooks'
import type { GaugeNote, Instrument, PlaceView } from '../brain/types.ts'
import { FeelSwitches } from '../parts/FeelSwitches.tsx'
import { Sheet } from '../parts/Sheet.tsx'
import { brain, instruments } from '../parts/seam.ts'
import { Sign } from '../parts/signs.tsx'
import { day } from '../parts/when.ts'
import { offered } from './fit.ts'
import type { Work } from './work.ts'

interface Props {
  work: Work
  place: PlaceView
  close: () => void
}

type Notes = Record<string, GaugeNote>

/** What the brain knows of each gauge today; nothing until it has answered. */
function useNotes(list: Instrument[]): Notes {
  const [notes, setNotes] = useState<Notes>({})
  useEffect(() => {
    // Without them the names still stand there to be picked.
    brain.gauges(list, day()).then(setNotes, () => undefined)
  }, [list])
  return notes
}

interface KeyProps {
  gauge: Instrument
  note: GaugeNote | undefined
  chosen: boolean
  pick: () => void
}

function OneGauge({ gauge, note, chosen, pick }: KeyProps) {
  return (
    <button type="button" class="button plain wide left" aria-pressed={chosen} onClick={pick}>
      <span class="grow">
        {gauge.name}
        {note && <span class="small line">{note.words}</span>}
        {note?.overdue && (
          <span class="line flag warn">
            <Sign name={note.severity ?? 'WARN'} /> <span>{note.overdue}</span>
          </span>
        )}
        {chosen && note?.check && <span class="small line">Before use: {note.check}</span>}
      </span>
    </button>
  )
}

interface ListProps {
  list: Instrument[]
  notes: Notes
  chosen: string | undefined
  pick: (gauge: Instrument) => void
}

function Gauges({ list, notes, chosen, pick }: ListProps) {
  return (
    <ul class="keys-list">
      {list.map((gauge) => (
        <li key={gauge.id}>
          <OneGauge
            gauge={gauge}
            note={notes[gauge.id]}
            chosen={chosen === gauge.id}
            pick={() => pick(gauge)}
          />
        </li>
      ))}
    </ul>
  )
}

/** Which gauge: asked once in a spell of work, changed by a tap on its key. */
export function GaugeSheet({ work, place, close }: Props) {
  const pick = (instrument: Instrument | null) => {
    void work.useGauge(instrument, place.kind)
    close()
  }
  const notes = useNotes(instruments.value)
  const { fit, others } = offered(instruments.value, place.gauges, place.units)
  const chosen = work.gauges.value[place.kind]?.id
  return (
    <Sheet title="Which gauge is in your hand?" close={close}>
      <Gauges list={fit} notes={notes} chosen={chosen} pick={pick} />
      <button type="button" class="button plain wide left tall" onClick={() => pick(null)}>
        One that is not on this list
      </button>
      {others.length > 0 && (
        <details class="fold">
          <summary>Others of the shop</summary>
          <Gauges list={others} notes={notes} chosen={chosen} pick={pick} />
        </details>
      )}
      <FeelSwitches />
    </Sheet>
  )
}
