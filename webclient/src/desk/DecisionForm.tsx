import { useLayoutEffect, useRef, useState } from 'preact/hooks'
import { session } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { useWords, type Words } from '../parts/words.ts'
import { enter } from '../parts/write.ts'
import { decided, type Subject, type Verb, type Waiting } from './review.ts'

interface Props {
  item: Waiting
  subject: Subject
  verb: Verb | null
  pick: (verb: Verb) => void
  done: () => void
}

interface Target {
  id: string
  words: string
}

const WORDS: Record<Verb, string> = {
  accept: 'Accept',
  measure_again: 'Measure again',
  strike_out: 'Strike out',
}
const KEYS: Record<Verb, string> = { accept: 'a', measure_again: 'm', strike_out: 's' }
const ALL: Verb[] = ['accept', 'measure_again', 'strike_out']

/** What the decision can point at: places to measure again, or live readings to strike out. */
export function targetsOf(subject: Subject, verb: Verb | null): Target[] {
  if (verb === 'measure_again') {
    const places = subject.places.map(({ id, words }) => ({ id, words }))
    const whole = subject.value && places.length > 1
    return whole
      ? [{ id: subject.value?.id ?? '', words: 'All of its readings' }, ...places]
      : places
  }
  if (verb !== 'strike_out') return []
  return subject.places.flatMap((place) =>
    place.readings
      .filter(({ live }) => live)
      .map((reading) => ({
        id: reading.id,
        words: `${place.words}: ${reading.shown?.words ?? 'not measured'}`,
      })),
  )
}

function VerbKeys({
  verb,
  pick,
  usable,
}: {
  verb: Verb | null
  pick: (verb: Verb) => void
  usable: (verb: Verb) => boolean
}) {
  return (
    <div class="row">
      {ALL.filter(usable).map((one) => (
        <button
          key={one}
          type="button"
          class="button"
          aria-pressed={verb === one}
          onClick={() => pick(one)}
        >
          {WORDS[one]}{' '}
          <span class="key-hint" aria-hidden="true">
            {KEYS[one]}
          </span>
        </button>
      ))}
    </div>
  )
}

function TargetField({ targets }: { targets: Target[] }) {
  if (targets.length === 0) return null
  return (
    <fieldset class="targets">
      <legend>Which one</legend>
      {targets.map(({ id, words }, at) => (
        <label key={id} class="target">
          <input type="radio" name="target" value={id} defaultChecked={at === 0} />
          <span>{words}</span>
        </label>
      ))}
    </fieldset>
  )
}

function useSend({ item, subject, verb, done }: Props, words: Words) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [busy, setBusy] = useState(false)
  const send = (event: SubmitEvent) => {
    event.preventDefault()
    const form = new FormData(event.currentTarget as HTMLFormElement)
    const reason = words.text.trim()
    if (verb === null || busy) return
    if (reason === '') {
      setTrouble({
        code: 'reason',
        message: 'A decision wants its reason: say why in a few words.',
      })
      return
    }
    setBusy(true)
    const fact = decided(item, verb, String(form.get('target') ?? ''), reason, subject.value)
    enter({ ...fact, draft: words.key }, session.value?.person?.id)
      .then(() => {
        words.drop()
        done()
      })
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  return { trouble, busy, send }
}

/** Accept, measure again or strike out, each with its reason. Enter in the reason writes it. */
export function DecisionForm(props: Props) {
  const { subject, verb, pick } = props
  const words = useWords(`decision/${props.item.key}`)
  const { trouble, busy, send } = useSend(props, words)
  const reason = useRef<HTMLInputElement>(null)
  // Before the next key arrives: its letter belongs into the reason.
  useLayoutEffect(() => {
    if (verb) reason.current?.focus()
  }, [verb])
  // Two readings that disagree have no value to accept: one is struck out, or the place is measured again.
  const settled = props.item.flag.sort !== 'disagree'
  const usable = (one: Verb) => (one === 'accept' ? settled : targetsOf(subject, one).length > 0)
  const leave = (event: KeyboardEvent) => {
    if (event.key === 'Escape') reason.current?.blur()
  }
  return (
    <form class="decision stack" aria-label="Decision" onSubmit={send}>
      <VerbKeys verb={verb} pick={pick} usable={usable} />
      {!verb && words.text && <p class="soft">Half written: “{words.text}”</p>}
      {verb && usable(verb) && (
        <>
          <TargetField key={verb} targets={targetsOf(subject, verb)} />
          <div class="field">
            <label for="reason">{WORDS[verb]}, because</label>
            <input
              ref={reason}
              id="reason"
              autocomplete="off"
              value={words.text}
              onInput={(event) => words.type(event.currentTarget.value)}
              onKeyDown={leave}
            />
          </div>
          <TroubleLine trouble={trouble} />
          <button type="submit" class="button main" aria-disabled={busy}>
            Write the decision
          </button>
        </>
      )}
    </form>
  )
}
