import { useLayoutEffect, useRef, useState } from 'preact/hooks'
import { session } from '../parts/seam.ts'
import { nameOf } from '../parts/spell.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { useWords, type Words } from '../parts/words.ts'
import { enter, type Fact } from '../parts/write.ts'
import { Writing } from './opening.ts'
import { decided, type Subject, settled, type Verb, type Waiting } from './review.ts'

interface Props {
  item: Waiting
  subject: Subject
  verb: Verb | null
  pick: (verb: Verb) => void
  done: () => void
  /** Somebody else has decided it while this form was open. */
  gone: boolean
}

interface Target {
  id: string
  words: string
}

const WORDS: Record<Verb, string> = {
  accept: 'Accept',
  counts: 'This one counts',
  measure_again: 'Measure again',
  strike_out: 'Strike out',
}
const KEYS: Record<Verb, string> = { accept: 'a', counts: 'c', measure_again: 'm', strike_out: 's' }
const ALL: Verb[] = ['accept', 'counts', 'measure_again', 'strike_out']

/** What the decision can point at: places to measure again, or live readings to count or to strike out. */
export function targetsOf(subject: Subject, verb: Verb | null): Target[] {
  if (verb === 'measure_again') {
    const places = subject.places.map(({ id, words }) => ({ id, words }))
    const whole = subject.value && places.length > 1
    return whole
      ? [{ id: subject.value?.id ?? '', words: 'All of its readings' }, ...places]
      : places
  }
  if (verb !== 'strike_out' && verb !== 'counts') return []
  return subject.places.flatMap((place) =>
    place.readings
      .filter(({ live, shown }) => live && (verb === 'strike_out' || shown !== null))
      .map((reading) => ({
        id: reading.id,
        words: `${place.words}: ${reading.shown?.words ?? 'not measured'}, ${nameOf(reading.person)}`,
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

const MEANWHILE = {
  code: 'changed_meanwhile',
  message:
    'This was decided meanwhile: read what stands above. Your words are kept; write them once more if they still hold.',
}

/** The entries that a decision becomes; the last one ends the draft. */
function factsOf({ item, subject }: Props, verb: Verb, target: string, words: Words): Fact[] {
  const reason = words.text.trim()
  const facts =
    verb === 'counts'
      ? settled(item, subject, target, reason)
      : [decided(item, verb, target, reason, subject.value)]
  return facts.map((fact, at) => (at === facts.length - 1 ? { ...fact, draft: words.key } : fact))
}

function useSend(props: Props, words: Words) {
  const { verb, gone, done } = props
  const told = useRef(false)
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
    if (gone && !told.current) {
      told.current = true
      setTrouble(MEANWHILE)
      return
    }
    setBusy(true)
    const facts = factsOf(props, verb, String(form.get('target') ?? ''), words)
    new Writing(facts, (fact) => enter(fact, session.value?.person?.id))
      .goOn()
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
  // Two readings that disagree have no value to accept: one of them counts, or the place is measured again.
  const apart = subject.places.some(({ disagree }) => disagree)
  const usable = (one: Verb) => {
    if (one === 'accept') return !(apart && props.item.flag.sort === 'disagree')
    const targets = targetsOf(subject, one).length
    return one === 'counts' ? apart && targets > 1 : targets > 0
  }
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
