import type { HoldLine, LineAnswer } from '../brain/types.ts'
import { type Answers, asking, asOf } from './holdanswers.ts'
import { Said } from './signs.tsx'

interface Props {
  lines: HoldLine[]
  answers: Answers
  give: (answers: Answers) => void
  /** False: it is signed, or cannot be: what was answered is read only. */
  writable: boolean
  /** Where a step of the Hold is looked at. */
  stepHref: (step: string) => string
}

const WORDS: [LineAnswer, string][] = [
  ['done', 'Done'],
  ['not_in_job', 'Not in this job'],
]

function Given({ line }: { line: HoldLine }) {
  return (
    <>
      {line.answers.map(({ person, words }) => (
        <p key={person} class="soft small">
          {person}: {words}
        </p>
      ))}
    </>
  )
}

function Asked({ line, answers, give }: Props & { line: HoldLine }) {
  const given = answers[line.no]
  const name = `line-${line.no}`
  const answer = (word: LineAnswer) =>
    give({ ...answers, [line.no]: { answer: word, note: given?.note ?? '' } })
  const reason = (note: string) => give({ ...answers, [line.no]: { answer: 'not_in_job', note } })
  return (
    <>
      <fieldset class="line-keys" aria-label={line.asks}>
        {WORDS.map(([word, words]) => (
          <button
            key={word}
            type="button"
            class="button"
            aria-pressed={given?.answer === word}
            onClick={() => answer(word)}
          >
            {words}
          </button>
        ))}
      </fieldset>
      {given?.answer === 'not_in_job' && (
        <div class="field">
          <label for={name}>Not in this job, because</label>
          <input
            id={name}
            autocomplete="off"
            value={given.note}
            onInput={(event) => reason(event.currentTarget.value)}
          />
        </div>
      )}
    </>
  )
}

/** One line of the build: its steps as the book has them, and what the signer answers for. */
function Line(props: Props & { line: HoldLine }) {
  const { line, writable, stepHref } = props
  return (
    <li class="hold-line">
      {line.steps.map(({ id, title, state }) => (
        <p key={id} class="row">
          <a class="hold-step" href={stepHref(id)}>
            {title}
          </a>{' '}
          <Said name={state} />
        </p>
      ))}
      {line.asks && <p>{line.asks}</p>}
      <Given line={line} />
      {line.asks && writable && <Asked {...props} />}
    </li>
  )
}

/** What another has answered is one key away, once it was looked at. */
function AsAnother({ lines, answers, give }: Props) {
  const people = new Set(lines.flatMap((line) => line.answers.map(({ person }) => person)))
  return (
    <>
      {[...people].map((person) => (
        <button
          key={person}
          type="button"
          class="button plain wide"
          onClick={() => give({ ...answers, ...asOf(lines, person) })}
        >
          I have looked at each: as {person} answered
        </button>
      ))}
    </>
  )
}

/** The lines that a Hold closes. */
export function HoldLines(props: Props) {
  const { lines, writable } = props
  return (
    <section class="stack" aria-label="Lines">
      <h2>What it closes</h2>
      <ol class="hold-lines">
        {lines.map((line) => (
          <Line key={line.no} {...props} line={line} />
        ))}
      </ol>
      {writable && asking(lines).length > 0 && <AsAnother {...props} />}
    </section>
  )
}
