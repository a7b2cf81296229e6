import { useState } from 'preact/hooks'
import type { Typed } from '../brain/types.ts'
import {
  catalogue,
  type InstrumentFields,
  type KeptInstrument,
  keepInstrument,
} from '../parts/seam.ts'
import { useWords } from '../parts/words.ts'
import { useDoing } from './doing.ts'
import { calibratedOn, inUnit, type Kind, ofKept, ofKind } from './instrumentform.ts'
import { Done } from './PersonFields.tsx'

const NAMELESS = 'An instrument wants a name, as it is marked: type it in.'
const kinds = () => catalogue.value?.instrument_kinds ?? []

/** Half-typed words are a draft of this browser until they are kept or left. */
function useFields(kept: KeptInstrument | null) {
  const words = useWords(`instrument/${kept?.id ?? 'new'}`)
  const begun = kept ? ofKept(kept) : kinds()[0] ? ofKind(kinds()[0] as Kind, null) : null
  const fields = words.text ? (JSON.parse(words.text) as InstrumentFields) : begun
  return {
    fields,
    type: (now: InstrumentFields) => words.type(JSON.stringify(now)),
    drop: words.drop,
  }
}

interface Typing {
  id: string
  fields: InstrumentFields
  type: (fields: InstrumentFields) => void
}

interface LineProps {
  id: string
  label: string
  help?: string
  value: string
  type: (text: string) => void
  kind?: string
  digits?: boolean
}

function Line({ id, label, help, value, type, kind = 'text', digits }: LineProps) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type={kind}
        inputMode={digits ? 'decimal' : undefined}
        autocomplete="off"
        value={value}
        onInput={(event) => type(event.currentTarget.value)}
      />
      {help && <span class="help">{help}</span>}
    </div>
  )
}

/** As long as it is marked: on a narrow screen it has lines. */
function NameField({ id, fields, type }: Typing) {
  return (
    <div class="field">
      <label for={`${id}-name`}>Name, as it is marked</label>
      <textarea
        id={`${id}-name`}
        rows={2}
        maxLength={80}
        value={fields.name}
        onInput={(event) =>
          type({ ...fields, name: event.currentTarget.value.replaceAll('\n', ' ') })
        }
      />
    </div>
  )
}

function KindField({ id, fields, type }: Typing) {
  const choose = (name: string) => {
    const kind = kinds().find((one) => one.kind === name)
    if (kind) type(ofKind(kind, fields))
  }
  const kind = kinds().find((one) => one.kind === fields.kind)
  return (
    <div class="field">
      <label for={`${id}-kind`}>Kind</label>
      <select
        id={`${id}-kind`}
        value={fields.kind}
        onChange={(event) => choose(event.currentTarget.value)}
      >
        {kinds().map((one) => (
          <option key={one.kind} value={one.kind}>
            {one.words}
          </option>
        ))}
      </select>
      <span class="help">Before use: {kind?.check}</span>
    </div>
  )
}

function UnitField({ id, fields, type, kind }: Typing & { kind: Kind }) {
  return (
    <div class="field">
      <label for={`${id}-unit`}>Reads in</label>
      <select
        id={`${id}-unit`}
        value={fields.step.unit ?? ''}
        onChange={(event) => type(inUnit(fields, event.currentTarget.value))}
      >
        {kind.units.map((unit) => (
          <option key={unit} value={unit}>
            {catalogue.value?.unit_words[unit] ?? unit}
          </option>
        ))}
      </select>
    </div>
  )
}

const RANGE = [
  ['range_low', 'Range from'],
  ['range_high', 'Range up to'],
] as const

function WrenchFields({ id, fields, type }: Typing) {
  const end = (name: 'range_low' | 'range_high', text: string) => {
    const figure: Typed = { text, unit: fields.step.unit }
    type({ ...fields, [name]: figure })
  }
  const percent = (text: string) => type({ ...fields, band: text, trust: { text, unit: '%' } })
  return (
    <>
      {RANGE.map(([name, label]) => (
        <Line
          key={name}
          id={`${id}-${name}`}
          label={label}
          digits
          value={fields[name]?.text ?? ''}
          type={(text) => end(name, text)}
        />
      ))}
      <Line
        id={`${id}-band`}
        label="Right within ±, in %"
        digits
        value={fields.band}
        type={percent}
      />
    </>
  )
}

function FigureFields({ id, fields, type, kind }: Typing & { kind: Kind }) {
  const figure = (name: 'step' | 'trust', text: string) =>
    type({ ...fields, [name]: { ...fields[name], text } })
  return (
    <>
      <UnitField id={id} fields={fields} type={type} kind={kind} />
      <Line
        id={`${id}-step`}
        label="One step of its scale"
        digits
        value={fields.step.text}
        type={(text) => figure('step', text)}
      />
      {kind.torque ? (
        <WrenchFields id={id} fields={fields} type={type} />
      ) : (
        <Line
          id={`${id}-trust`}
          label="Trusted to ±"
          digits
          value={fields.trust.text}
          type={(text) => figure('trust', text)}
        />
      )}
    </>
  )
}

function DateFields({ id, fields, type, kind }: Typing & { kind: Kind }) {
  return (
    <>
      <Line
        id={`${id}-on`}
        label="Last calibrated on"
        kind="date"
        value={fields.calibrated_on}
        type={(day) => type(calibratedOn(fields, day))}
      />
      <Line
        id={`${id}-due`}
        label="Calibration due on"
        kind="date"
        help={kind.torque ? 'Left empty, the usual interval is taken.' : 'Empty: it has no date.'}
        value={fields.calibration_due}
        type={(day) => type({ ...fields, calibration_due: day })}
      />
    </>
  )
}

interface Props {
  /** Null: a new one. */
  kept: KeptInstrument | null
  done: (changed: boolean) => void
}

/** An instrument: added, or written anew, a new calibration among it. */
export function InstrumentForm({ kept, done }: Props) {
  const { fields, type, drop } = useFields(kept)
  const doing = useDoing()
  const [id] = useState(`instrument-${kept?.id ?? 'new'}`)
  const kind = kinds().find((one) => one.kind === fields?.kind)
  if (!fields || !kind) return <p>The list of kinds is not on this device yet: connect once.</p>
  const leave = (changed: boolean) => {
    drop()
    done(changed)
  }
  const send = (event: Event) => {
    event.preventDefault()
    doing.run(
      async () => {
        if (fields.name.trim() === '') throw Object.assign(new Error(NAMELESS), { code: 'name' })
        await keepInstrument(fields, kept ?? undefined)
      },
      '',
      () => leave(true),
    )
  }
  const typing = { id, fields, type }
  return (
    <form
      class="stack"
      aria-label={kept ? 'Change the instrument' : 'Add an instrument'}
      onSubmit={send}
      noValidate
    >
      <div class="spec-form">
        <KindField {...typing} />
        <NameField {...typing} />
        <FigureFields {...typing} kind={kind} />
        <DateFields {...typing} kind={kind} />
      </div>
      <Done doing={doing} />
      <div class="row">
        <button type="submit" class="button main" aria-disabled={doing.busy}>
          {kept ? 'Keep the change' : 'Add the instrument'}
        </button>
        <button type="button" class="button plain" onClick={() => leave(false)}>
          Leave it
        </button>
      </div>
    </form>
  )
}
