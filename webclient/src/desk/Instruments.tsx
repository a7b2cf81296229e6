import { useEffect, useState } from 'preact/hooks'
import { catalogue, type KeptInstrument, keptInstruments, retireInstrument } from '../parts/seam.ts'
import { Sign } from '../parts/signs.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { moment } from '../parts/when.ts'
import { useDoing } from './doing.ts'
import { InstrumentForm } from './InstrumentForm.tsx'
import { Done } from './PersonFields.tsx'

interface CardProps {
  kept: KeptInstrument
  changed: () => void
}

function Retire({ kept, changed }: CardProps) {
  const [reason, setReason] = useState('')
  const doing = useDoing()
  const id = `retire-${kept.id}`
  const send = (event: Event) => {
    event.preventDefault()
    doing.run(() => retireInstrument(kept, reason.trim()), '', changed)
  }
  return (
    <form class="field" onSubmit={send}>
      <label for={id}>Out of use, because</label>
      <input
        id={id}
        autocomplete="off"
        value={reason}
        onInput={(event) => setReason(event.currentTarget.value)}
      />
      <span class="help">Phones offer it no more. What was read with it stays in the book.</span>
      <button type="submit" class="button" disabled={reason.trim() === ''}>
        Take it out of use
      </button>
      <Done doing={doing} />
    </form>
  )
}

function BackInUse({ kept, changed }: CardProps) {
  const doing = useDoing()
  const back = () => doing.run(() => retireInstrument(kept, ''), '', changed)
  return (
    <div class="row">
      <button type="button" class="button" aria-disabled={doing.busy} onClick={back}>
        Take it into use again
      </button>
      <Done doing={doing} />
    </div>
  )
}

function History({ kept }: { kept: KeptInstrument }) {
  if (kept.history.length === 0) return null
  return (
    <details class="fold">
      <summary>History</summary>
      <ul class="stack">
        {kept.history.map(({ at, person, words }) => (
          <li key={at + words}>
            {moment(at)}, {person}: {words}
          </li>
        ))}
      </ul>
    </details>
  )
}

/** What it is, how far it is trusted, and whether it may be used today. */
function Facts({ kept }: { kept: KeptInstrument }) {
  const kind = catalogue.value?.instrument_kinds.find((one) => one.kind === kept.kind)
  return (
    <div class="stack">
      <p>{kind?.words}</p>
      <p>{kept.words}</p>
      {kind?.check && <p class="soft">Check before use: {kind.check}</p>}
      {kept.pulls !== null && (
        <p>
          {kept.pulls} {kept.pulls === 1 ? 'pull' : 'pulls'} in the book since{' '}
          {kept.calibrated_on ?? 'the first'}
        </p>
      )}
      {kept.overdue !== null && kept.retired_at === null && (
        <p class="flag warn">
          <Sign name={kind?.torque ? 'STOP' : 'WARN'} /> <span>{kept.overdue}</span>
        </p>
      )}
      {kept.retired_because !== null && <p>Out of use: {kept.retired_because}</p>}
    </div>
  )
}

function Card({ kept, changed }: CardProps) {
  const [open, setOpen] = useState(false)
  const done = (was: boolean) => {
    setOpen(false)
    if (was) changed()
  }
  return (
    <li class="card stack">
      <h2>{kept.name}</h2>
      <Facts kept={kept} />
      <History kept={kept} />
      {kept.retired_at !== null ? (
        <BackInUse kept={kept} changed={changed} />
      ) : (
        <div class="row">
          <button type="button" class="button" aria-expanded={open} onClick={() => setOpen(!open)}>
            <span>
              {open ? 'Close' : 'Change'} <span class="unseen">{kept.name}</span>
            </span>
          </button>
        </div>
      )}
      {open && (
        <>
          <InstrumentForm kept={kept} done={done} />
          <Retire kept={kept} changed={() => done(true)} />
        </>
      )}
    </li>
  )
}

function Add({ added }: { added: () => void }) {
  const [open, setOpen] = useState(false)
  const done = (was: boolean) => {
    setOpen(false)
    if (was) added()
  }
  if (open) return <InstrumentForm kept={null} done={done} />
  return (
    <button type="button" class="button" onClick={() => setOpen(true)}>
      Add an instrument
    </button>
  )
}

/** The shop's instruments: what each reads to, when its calibration is due, what was changed about it. */
export function Instruments() {
  const [list, setList] = useState<KeptInstrument[] | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const find = () => {
    keptInstruments().then(
      (found) => {
        setList(found)
        setTrouble(null)
      },
      (failure) => setTrouble(troubleOf(failure)),
    )
  }
  useEffect(find, [])
  return (
    <main class="desk-page stack" id="main">
      <h1>Instruments</h1>
      <p class="soft">
        What the phones offer as gauges. A torque wrench past its calibration stops the work; any
        other instrument warns.
      </p>
      <TroubleLine trouble={trouble} />
      <Add added={find} />
      {list?.length === 0 && <p>No instrument is known yet.</p>}
      <ul class="cards" aria-label="Instruments">
        {list?.map((kept) => (
          <Card key={`${kept.id} ${kept.version}`} kept={kept} changed={find} />
        ))}
      </ul>
    </main>
  )
}
