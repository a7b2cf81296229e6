import { catalogue } from '../parts/seam.ts'
import { isAsked, type Raw, type RawForm } from './engineform.ts'
import { FieldInput } from './FieldInput.tsx'

interface Props {
  form: RawForm
  problems: Record<string, string>
  change: (field: string, raw: Raw) => void
  /** Only these fields; all where it is not given. */
  only?: string[]
}

const NOTHING: Raw = { text: '', unit: null }

/** The specification, drawn from the catalogue's fields; those that this engine does not have stay away. */
export function EngineForm({ form, problems, change, only }: Props) {
  const fields = (catalogue.value?.engine_fields ?? []).filter(
    (field) => isAsked(field, form) && (only === undefined || only.includes(field.field)),
  )
  return (
    <div class="spec-form">
      {fields.map((field) => (
        <FieldInput
          key={field.field}
          field={field}
          raw={form[field.field] ?? NOTHING}
          problem={problems[field.field] ?? null}
          change={(raw) => change(field.field, raw)}
        />
      ))}
    </div>
  )
}
