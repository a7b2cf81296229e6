import { useEffect, useRef, useState } from 'preact/hooks'
import { go, to } from '../parts/router.ts'
import { catalogue, draft, newId, session } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { enter } from '../parts/write.ts'
import { CardForm } from './CardForm.tsx'
import { CardList } from './CardList.tsx'
import { withCard } from './cards.ts'
import { checkForm, useChecked } from './checking.ts'
import { Derived } from './Derived.tsx'
import { EngineForm } from './EngineForm.tsx'
import type { RawForm } from './engineform.ts'
import { EMPTY_OPENING, type Opening, openingFacts, Writing } from './opening.ts'

const DRAFT = 'desk/new'

/** The half-filled form, on the disk at every change. */
function useOpening() {
  const [opening, setOpening] = useState<Opening>(EMPTY_OPENING)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  useEffect(() => {
    draft.load(DRAFT).then(
      (text) => text !== null && setOpening(JSON.parse(text) as Opening),
      () => undefined,
    )
  }, [])
  const change = (more: Partial<Opening>) => {
    const next = { ...opening, ...more }
    setOpening(next)
    draft.save(DRAFT, JSON.stringify(next)).catch((failure) => setTrouble(troubleOf(failure)))
  }
  return { opening, change, trouble, setTrouble }
}

const NO_JOB = 'Give the job its number.'

interface TextsProps {
  opening: Opening
  change: (more: Partial<Opening>) => void
  /** The form was sent without a job number. */
  jobWanted: boolean
}

function Texts({ opening, change, jobWanted }: TextsProps) {
  return (
    <div class="spec-form">
      <div class="field">
        <label for="job">Job number</label>
        <input
          id="job"
          autocomplete="off"
          aria-invalid={jobWanted}
          aria-describedby="job-wrong"
          value={opening.job}
          onInput={(e) => change({ job: e.currentTarget.value })}
        />
        <span class="wrong" id="job-wrong">
          {jobWanted && NO_JOB}
        </span>
      </div>
      <div class="field">
        <label for="title">The customer's word for it</label>
        <input
          id="title"
          autocomplete="off"
          value={opening.title}
          onInput={(e) => change({ title: e.currentTarget.value })}
        />
      </div>
      <div class="field">
        <label for="note">Note</label>
        <input
          id="note"
          autocomplete="off"
          value={opening.note}
          onInput={(e) => change({ note: e.currentTarget.value })}
        />
      </div>
    </div>
  )
}

/** Refuses with one sentence; the fields say the rest. */
async function refuse(form: RawForm, job: string): Promise<void> {
  const { problems } = await checkForm(form)
  const count = Object.keys(problems).length
  if (job.trim() === '') throw Object.assign(new Error(NO_JOB), { code: 'job' })
  if (count > 0)
    throw Object.assign(
      new Error(
        `${count === 1 ? 'One field wants' : `${count} fields want`} another look; each says why.`,
      ),
      { code: 'engine' },
    )
}

function useOpen({ opening, setTrouble }: ReturnType<typeof useOpening>) {
  const writing = useRef<{ build: string; writing: Writing } | null>(null)
  const [shown, setShown] = useState(false)
  const write = async () => {
    const build = writing.current?.build ?? newId()
    const { engine_fields = [], limits_sha256 = '' } = catalogue.value ?? {}
    const facts = openingFacts(build, opening, limits_sha256, engine_fields)
    writing.current ??= {
      build,
      writing: new Writing(facts, (fact) => enter(fact, session.value?.person?.id)),
    }
    await writing.current.writing.goOn()
    await draft.drop(DRAFT)
    go(to.deskBuild(build))
  }
  const open = (event: Event) => {
    event.preventDefault()
    setShown(true)
    refuse(opening.form, opening.job)
      .then(write)
      .catch((failure) => {
        setTrouble(troubleOf(failure))
        document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus()
      })
  }
  return { open, shown }
}

/** Opens a build: job, specification and the cards in force, checked by the brain before anything is written. */
export function NewBuild() {
  const held = useOpening()
  const { opening, change, trouble } = held
  const { open, shown } = useOpen(held)
  const { problems, derived } = useChecked(opening.form)
  const visible = shown ? problems : typedOnly(problems, opening.form)
  return (
    <main class="desk-page" id="main">
      <h1>Open a build</h1>
      <form class="stack" onSubmit={open} noValidate>
        <Texts opening={opening} change={change} jobWanted={shown && opening.job.trim() === ''} />
        <h2>Engine</h2>
        <EngineForm
          form={opening.form}
          problems={visible}
          change={(field, raw) => change({ form: { ...opening.form, [field]: raw } })}
        />
        <Derived lines={derived} />
        <h2>Spec cards in force</h2>
        <CardList cards={opening.cards} />
        <details class="fold">
          <summary>Add a spec card</summary>
          <CardForm add={async (card) => change({ cards: withCard(opening.cards, card) })} />
        </details>
        <TroubleLine trouble={trouble} />
        <button type="submit" class="button main">
          Open the build
        </button>
      </form>
    </main>
  )
}

/** Before the form was sent an empty field is not yet wrong. */
function typedOnly(problems: Record<string, string>, form: RawForm): Record<string, string> {
  const typed = ([field]: [string, string]) => (form[field]?.text ?? '').trim() !== ''
  return Object.fromEntries(Object.entries(problems).filter(typed))
}
