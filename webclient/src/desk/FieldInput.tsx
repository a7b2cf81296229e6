import type { EngineField } from '../brain/types.ts'
import { catalogue } from '../parts/seam.ts'
import { isNumber, type Raw } from './engineform.ts'

interface Props {
  field: EngineField
  raw: Raw
  problem: string | null
  change: (raw: Raw) => void
}

interface Common {
  id: string
  'aria-invalid': boolean
  'aria-describedby': string
}

function common({ field, problem }: Props): Common {
  const id = `field-${field.field}`
  return { id, 'aria-invalid': problem !== null, 'aria-describedby': `${id}-help ${id}-wrong` }
}

function UnitPick({ field, raw, change }: Props) {
  if (field.units.length < 2) {
    const words = field.unit && catalogue.value?.unit_words[field.unit]
    return words ? <span class="unit-words">{words}</span> : null
  }
  return (
    <select
      class="unit-pick"
      aria-label={`Unit of ${field.words}`}
      value={raw.unit ?? field.unit ?? ''}
      onChange={(event) => change({ ...raw, unit: event.currentTarget.value })}
    >
      {field.units.map((unit) => (
        <option key={unit} value={unit}>
          {catalogue.value?.unit_words[unit] ?? unit}
        </option>
      ))}
    </select>
  )
}

function NumberInput(props: Props) {
  const { raw, change } = props
  return (
    <div class="with-unit">
      <input
        {...common(props)}
        inputMode="decimal"
        autocomplete="off"
        value={raw.text}
        onInput={(event) => change({ ...raw, text: event.currentTarget.value })}
      />
      <UnitPick {...props} />
    </div>
  )
}

function ChoicePick(props: Props) {
  const { field, raw, change } = props
  return (
    <select
      {...common(props)}
      value={raw.text}
      onChange={(event) => change({ text: event.currentTarget.value, unit: null })}
    >
      <option value="">choose</option>
      {field.choices.map(({ id, words }) => (
        <option key={id} value={id}>
          {words}
        </option>
      ))}
    </select>
  )
}

function ListInput(props: Props) {
  const { field, raw, change } = props
  const typed = (text: string) => change({ text, unit: null })
  if (field.kind === 'order')
    return (
      <input
        {...common(props)}
        autocomplete="off"
        value={raw.text}
        onInput={(event) => typed(event.currentTarget.value)}
      />
    )
  return (
    <textarea
      {...common(props)}
      rows={field.kind === 'table' ? 2 : 4}
      value={raw.text}
      onInput={(event) => typed(event.currentTarget.value)}
    />
  )
}

const HOW: Partial<Record<EngineField['kind'], string>> = {
  order: 'Numbers with dashes: 1-3-4-2.',
  table: 'Numbers with dashes, a line for each row.',
  pairs: 'Numbers with dashes, a line for each rod journal: 1-2.',
}

function Input(props: Props) {
  if (isNumber(props.field)) return <NumberInput {...props} />
  if (props.field.kind === 'choice' || props.field.kind === 'flag') return <ChoicePick {...props} />
  return <ListInput {...props} />
}

/** One field of the specification, drawn by its kind, with its help and what is wrong with it. */
export function FieldInput(props: Props) {
  const { field, problem } = props
  const id = `field-${field.field}`
  const help = [field.help, HOW[field.kind]].filter(Boolean).join(' ')
  return (
    <div class="field">
      <label for={id}>
        {field.words}
        {field.required ? '' : ' (if known)'}
      </label>
      <Input {...props} />
      <span class="help" id={`${id}-help`}>
        {help}
      </span>
      <span class="wrong" id={`${id}-wrong`}>
        {problem}
      </span>
    </div>
  )
}
