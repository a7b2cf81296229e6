import {
  type ReckonForm,
  type ReckonInput,
  type TypedForm,
  type TypedInput,
  typedOf,
} from './reckon.ts'

interface Props {
  input: ReckonInput
  one: TypedInput
  wrong: boolean
  change: (one: TypedInput) => void
}

const HOW: Partial<Record<ReckonInput['shape'], string>> = {
  numbers: 'With a space between.',
  rows: 'A line for each, with a space between:',
}

export function firstUp(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1)
}

function Units({ input, one, change }: Props) {
  return (
    <>
      {input.columns.map(({ words, units }, at) =>
        units.length < 2 ? (
          units[0] && <span key={words}>{units[0].words}</span>
        ) : (
          <select
            key={words}
            class="unit-pick"
            aria-label={`Unit: ${words}`}
            value={one.units[at] ?? units[0]?.id ?? ''}
            onChange={(event) => {
              const unit = event.currentTarget.value
              change({ ...one, units: one.units.map((was, i) => (i === at ? unit : was)) })
            }}
          >
            {units.map(({ id, words: said }) => (
              <option key={id} value={id}>
                {said}
              </option>
            ))}
          </select>
        ),
      )}
    </>
  )
}

function Typing(props: Props) {
  const { input, one, wrong, change } = props
  const common = {
    id: `reckon-${input.key}`,
    value: one.text,
    autocomplete: 'off',
    'aria-invalid': wrong,
    'aria-describedby': `reckon-${input.key}-help`,
    onInput: (event: Event) =>
      change({ ...one, text: (event.currentTarget as HTMLInputElement).value }),
  } as const
  if (input.shape === 'choice')
    return (
      <select {...common}>
        <option value="">{input.usual || 'choose'}</option>
        {input.choices.map(({ id, words }) => (
          <option key={id} value={id}>
            {words}
          </option>
        ))}
      </select>
    )
  if (input.shape === 'rows') return <textarea {...common} rows={4} />
  if (input.shape === 'numbers') return <textarea {...common} rows={2} />
  return (
    <input {...common} inputMode={input.shape === 'number' && !input.signed ? 'decimal' : 'text'} />
  )
}

function help({ shape, columns, usual, required }: ReckonInput): string {
  const named = shape === 'rows' ? ` ${columns.map(({ words }) => words).join(', ')}.` : ''
  const left = shape !== 'choice' && usual ? `Left empty: ${usual}.` : ''
  return [`${HOW[shape] ?? ''}${named}`, left, required || left ? '' : 'If known.'].join(' ').trim()
}

function Field(props: Props) {
  const { input } = props
  return (
    <div class="field">
      <label for={`reckon-${input.key}`}>{firstUp(input.words)}</label>
      <div class="with-unit">
        <Typing {...props} />
        <Units {...props} />
      </div>
      <span class="help" id={`reckon-${input.key}-help`}>
        {help(input)}
      </span>
    </div>
  )
}

interface AllProps {
  form: ReckonForm
  typed: TypedForm
  wrong: string | null
  change: (key: string, one: TypedInput) => void
}

/** The inputs of one calculator, each with its units to pick. */
export function ReckonInputs({ form, typed, wrong, change }: AllProps) {
  return (
    <div class="reckon-inputs">
      {form.inputs.map((input) => (
        <Field
          key={input.key}
          input={input}
          one={typedOf(input, typed)}
          wrong={wrong === input.key}
          change={(one) => change(input.key, one)}
        />
      ))}
    </div>
  )
}
