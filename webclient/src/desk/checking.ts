import { useEffect, useState } from 'preact/hooks'
import { brain, catalogue } from '../parts/seam.ts'
import { type RawForm, valuesOf } from './engineform.ts'

export interface Checked {
  problems: Record<string, string>
  derived: { words: string; shown: string }[]
}

const NOTHING: Checked = { problems: {}, derived: [] }

/** What the brain says of a specification: a sentence for each field that is wrong, and what follows from it. */
export async function checkForm(form: RawForm): Promise<Checked> {
  const values = valuesOf(catalogue.value?.engine_fields ?? [], form)
  const { problems, derived } = await brain.checkEngine(values)
  return {
    problems: Object.fromEntries(problems.map(({ field, message }) => [field, message])),
    derived,
  }
}

/** The same, a moment after each change of the form. */
export function useChecked(form: RawForm): Checked {
  const [checked, setChecked] = useState<Checked>(NOTHING)
  useEffect(() => {
    let old = false
    const timer = setTimeout(() => {
      checkForm(form).then(
        (found) => {
          if (!old) setChecked(found)
        },
        () => undefined, // Said when the form is sent.
      )
    }, 250)
    return () => {
      old = true
      clearTimeout(timer)
    }
  }, [form])
  return checked
}
