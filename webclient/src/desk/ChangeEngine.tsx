import { useEffect, useState } from 'preact/hooks'
import type { State } from '../brain/types.ts'
import { catalogue, entriesOf, session } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { enter } from '../parts/write.ts'
import { checkForm } from './checking.ts'
import { EngineForm } from './EngineForm.tsx'
import { isAsked, type RawForm, valueIn } from './engineform.ts'
import { formOf, lastWritten, refuseStale } from './facts.ts'
import { engineFact } from './opening.ts'

/** The specification as typed, renewed when the book grows. */
function useForm(state: State): RawForm {
  const [form, setForm] = useState<RawForm>({})
  const { build, count } = state
  useEffect(() => {
    entriesOf(build).then(
      (entries) => setForm(formOf(entries)),
      () => undefined,
    )
  }, [build, count])
  return form
}

/** `base`: the entry that said the value when the field was picked. Throws when another one does now. */
async function write(
  build: string,
  field: string,
  form: RawForm,
  basis: string,
  base: string | null,
): Promise<void> {
  refuseStale(base, lastWritten(await entriesOf(build), 'engine_value', field), 'This value was')
  const { problems } = await checkForm(form)
  const known = catalogue.value?.engine_fields.find((one) => one.field === field)
  const raw = form[field]
  if (problems[field]) throw Object.assign(new Error(problems[field]), { code: 'engine' })
  if (!known || !raw || raw.text.trim() === '')
    throw Object.assign(new Error('Type the new value first.'), { code: 'empty' })
  await enter(engineFact(build, field, valueIn(known, raw), basis), session.value?.person?.id)
}

function FieldPick({
  form,
  pick,
  field,
}: {
  form: RawForm
  field: string
  pick: (field: string) => void
}) {
  const fields = (catalogue.value?.engine_fields ?? []).filter((one) => isAsked(one, form))
  return (
    <div class="field">
      <label for="change-field">Which value</label>
      <select id="change-field" value={field} onChange={(event) => pick(event.currentTarget.value)}>
        <option value="">choose</option>
        {fields.map((one) => (
          <option key={one.field} value={one.field}>
            {one.words}
          </option>
        ))}
      </select>
    </div>
  )
}

function BasisPick({ basis, pick }: { basis: string; pick: (basis: string) => void }) {
  return (
    <fieldset class="choices">
      <legend class="unseen">Nominal or measured</legend>
      {['nominal', 'measured'].map((one) => (
        <button
          key={one}
          type="button"
          class="button plain"
          aria-pressed={basis === one}
          onClick={() => pick(one)}
        >
          {one === 'nominal' ? 'Nominal' : 'Measured'}
        </button>
      ))}
    </fieldset>
  )
}

function ChangeForm({ state }: { state: State }) {
  const book = useForm(state)
  const [typed, setTyped] = useState<RawForm>({})
  const [field, setField] = useState('')
  const [basis, setBasis] = useState('nominal')
  const [base, setBase] = useState<string | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const form = { ...book, ...typed }
  const entryNow = (name: string) => state.engine.find((one) => one.field === name)?.entry ?? null
  const pickField = (name: string) => {
    setField(name)
    setBase(entryNow(name))
  }
  const send = (event: Event) => {
    event.preventDefault()
    write(state.build, field, form, basis, base)
      .then(() => {
        setTyped({})
        setField('')
        setTrouble(null)
      })
      .catch((failure) => {
        const said = troubleOf(failure)
        setTrouble(said)
        // It has been told: what is written once more is written knowing it.
        if (said.code === 'changed_meanwhile') setBase(entryNow(field))
      })
  }
  return (
    <form class="stack" onSubmit={send} noValidate>
      <FieldPick form={form} field={field} pick={pickField} />
      {field !== '' && (
        <>
          <EngineForm
            form={form}
            problems={{}}
            only={[field]}
            change={(name, raw) => setTyped({ [name]: raw })}
          />
          <BasisPick basis={basis} pick={setBasis} />
          <TroubleLine trouble={trouble} />
          <button type="submit" class="button">
            Write the new value
          </button>
        </>
      )}
    </form>
  )
}

/** A value of the specification changes by a new entry; the old one stays in the book. */
export function ChangeEngine({ state }: { state: State }) {
  return (
    <details class="fold">
      <summary>Change a value of the engine</summary>
      <ChangeForm state={state} />
    </details>
  )
}
