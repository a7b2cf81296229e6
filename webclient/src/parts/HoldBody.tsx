import { useState } from 'preact/hooks'
import type { HoldView } from '../brain/types.ts'
import { CautionList } from './CautionList.tsx'
import { HoldLines } from './HoldLines.tsx'
import { HoldSign, type Where } from './HoldSign.tsx'
import { openedFact, readAnswers, writeAnswers } from './holdanswers.ts'
import { Said } from './signs.tsx'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'
import { moment } from './when.ts'
import { useWords } from './words.ts'
import { enter } from './write.ts'

function Asks({ view }: { view: HoldView }) {
  return (
    <>
      <dl class="hold-asks">
        <dt>Before</dt>
        <dd>{view.before}</dd>
        <dt>Looked at</dt>
        <dd>{view.looks_at}</dd>
      </dl>
      <details class="fold">
        <summary>When it cannot be signed, and when it falls</summary>
        <dl class="hold-asks">
          <dt>Not signed with</dt>
          <dd>{view.barred}</dd>
          <dt>Falls when</dt>
          <dd>{view.falls}</dd>
        </dl>
      </details>
    </>
  )
}

function Past({ view }: { view: HoldView }) {
  if (view.history.length === 0) return null
  return (
    <section class="stack" aria-label="Before">
      <h2>What was before</h2>
      <ul class="dashes">
        {view.history.map(({ entry, words, at }) => (
          <li key={entry}>
            {words} <span class="soft small">{moment(at)}</span>
          </li>
        ))}
      </ul>
    </section>
  )
}

/** Something under it was undone or exchanged: what was signed falls, and stays readable. */
function OpenAgain({ view, person }: { view: HoldView; person: string | null | undefined }) {
  const words = useWords(`open-hold/${view.build}/${view.id}`)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const reason = words.text.trim()
  const send = (event: Event) => {
    event.preventDefault()
    if (reason === '') return
    enter({ ...openedFact(view, reason), draft: words.key }, person)
      .then(() => words.drop())
      .catch((failure) => setTrouble(troubleOf(failure)))
  }
  const name = `open-${view.id}`
  return (
    <details class="fold">
      <summary>Something under it was undone or exchanged</summary>
      <form class="field" onSubmit={send}>
        <label for={name}>What, and why</label>
        <input
          id={name}
          autocomplete="off"
          value={words.text}
          onInput={(event) => words.type(event.currentTarget.value)}
        />
        <TroubleLine trouble={trouble} />
        <button type="submit" class="button wide" disabled={reason === ''}>
          Open the Hold again
        </button>
      </form>
    </details>
  )
}

/** A Hold: what it closes, who signs it, what was signed before. Half given answers are kept. */
export function HoldBody({
  view,
  person,
  where,
  stepHref,
}: {
  view: HoldView
  person: string | null | undefined
  where: Where
  stepHref: (step: string) => string
}) {
  const words = useWords(`hold/${view.build}/${view.id}`)
  const answers = readAnswers(words.text)
  const writable = view.signers.some(({ signed }) => signed === null) && view.sign.ready
  const lines = (
    <HoldLines
      lines={view.lines}
      answers={answers}
      give={(given) => words.type(writeAnswers(given))}
      writable={writable}
      stepHref={stepHref}
    />
  )
  const signatures = (
    <HoldSign view={view} answers={answers} draft={words.key} done={words.drop} {...where} />
  )
  return (
    <div class="stack">
      <p class="row">
        <Said name={view.state} />
      </p>
      <CautionList cautions={view.cautions} />
      <Asks view={view} />
      {writable && lines}
      {signatures}
      {!writable && lines}
      <Past view={view} />
      {view.signers.some(({ signed }) => signed) && <OpenAgain view={view} person={person} />}
    </div>
  )
}
