/** The calculators as their page sees them: what the brain lists, asks and answers; and what is typed, kept on the disk. */
import { useEffect, useState } from 'preact/hooks'
import { brain, draft, trouble } from './seam.ts'
import { type Trouble, troubleOf } from './trouble.ts'

export interface ReckonChapter {
  title: string
  calculators: { name: string; title: string; purpose: string }[]
}

export interface ReckonInput {
  key: string
  words: string
  shape: 'number' | 'numbers' | 'rows' | 'choice' | 'text'
  required: boolean
  /** May be less than nothing: a phone's number keys have no minus. */
  signed: boolean
  /** One for each figure; `units` is empty where it has none. */
  columns: { words: string; units: { id: string; words: string }[] }[]
  choices: { id: string; words: string }[]
  /** What holds where nothing is typed. */
  usual: string
}

export interface ReckonForm {
  name: string
  title: string
  purpose: string
  inputs: ReckonInput[]
}

export interface ReckonAnswer {
  missing: string[]
  problem: { key: string | null; words: string } | null
  /** The method does not hold for what was typed: why. */
  refused: string | null
  results: { words: string; lines: string[] }[]
  sources: string[]
  cautions: string[]
}

export interface TypedInput {
  text: string
  units: string[]
}
export type TypedForm = Record<string, TypedInput>

/** An input as it stands; nothing typed yet has the usual units. */
export function typedOf(input: ReckonInput, typed: TypedForm): TypedInput {
  const usual = input.columns.map(({ units }) => units[0]?.id ?? '')
  return typed[input.key] ?? { text: '', units: usual }
}

/** What was left typed; what is no draft of this page is nothing. */
export function readTyped(kept: string | null): TypedForm {
  try {
    const { typed } = JSON.parse(kept ?? '{}') as { typed?: TypedForm }
    return typeof typed === 'object' && typed !== null ? typed : {}
  } catch {
    return {}
  }
}

function complain(failure: Error): void {
  trouble.value = failure
}

/** What is typed in one calculator: on the disk at every change, as half a number at the stand is. */
export function useTyped(name: string) {
  const key = `reckon/${name}`
  const [typed, setTyped] = useState<TypedForm>({})
  useEffect(() => {
    const show = (kept: string | null) => setTyped((now) => ({ ...readTyped(kept), ...now }))
    draft.load(key).then(show, complain)
  }, [key])
  const change = (input: string, one: TypedInput) => {
    const next = { ...typed, [input]: one }
    setTyped(next)
    draft.save(key, JSON.stringify({ typed: next })).catch(complain)
  }
  const clear = () => {
    setTyped({})
    draft.drop(key).catch(complain)
  }
  return { typed, change, clear }
}

/** What the brain answers to a question of this page; the answer before stays until the next is there. */
export function useReckon<T>(question: object): { answer: T | null; failed: Trouble | null } {
  const [found, setFound] = useState<{ answer: T | null; failed: Trouble | null }>({
    answer: null,
    failed: null,
  })
  const text = JSON.stringify(question)
  useEffect(() => {
    let wanted = true
    brain.reckonPage<T>(text).then(
      (answer) => wanted && setFound({ answer, failed: null }),
      (failure) => wanted && setFound({ answer: null, failed: troubleOf(failure) }),
    )
    return () => {
      wanted = false
    }
  }, [text])
  return found
}
