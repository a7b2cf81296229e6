import { useEffect, useRef, useState } from 'preact/hooks'
import { engines } from '../parts/seam.ts'
import { Sign, tone } from '../parts/signs.tsx'
import { HoldsWaiting } from './HoldsWaiting.tsx'
import { ReviewItem } from './ReviewItem.tsx'
import { keepChoice, type Verb, type Waiting, waitingForLead } from './review.ts'

const MOVES: Record<string, 1 | -1> = { j: 1, ArrowDown: 1, k: -1, ArrowUp: -1 }
const VERBS: Record<string, Verb> = {
  a: 'accept',
  c: 'counts',
  m: 'measure_again',
  s: 'strike_out',
}

function typing(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest('input, textarea, select, dialog') !== null
}

interface Hands {
  move: (by: 1 | -1) => void
  pick: (verb: Verb) => void
}

/** The keys work everywhere but in a field, where they are letters. */
function useKeys({ move, pick }: Hands): void {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (typing(event.target) || event.ctrlKey || event.metaKey || event.altKey) return
      const [by, verb] = [MOVES[event.key], VERBS[event.key]]
      if (by || verb) event.preventDefault()
      if (by) move(by)
      if (verb) pick(verb)
    }
    document.addEventListener('keydown', press)
    return () => document.removeEventListener('keydown', press)
  }, [move, pick])
}

function Keys() {
  return (
    <p class="keys-line soft">
      <kbd>j</kbd> <kbd>k</kbd> or arrows: next, before · <kbd>a</kbd> accept · <kbd>c</kbd> this
      reading counts · <kbd>m</kbd> measure again · <kbd>s</kbd> strike out · <kbd>Enter</kbd> write
      it · <kbd>Esc</kbd> leave the field
    </p>
  )
}

function ListItem({ item, here, choose }: { item: Waiting; here: boolean; choose: () => void }) {
  const line = useRef<HTMLLIElement>(null)
  useEffect(() => {
    if (here) line.current?.scrollIntoView({ block: 'nearest' })
  }, [here])
  const { flag } = item
  return (
    <li ref={line}>
      <button
        type="button"
        class="wait-item"
        aria-current={here ? 'true' : undefined}
        onClick={choose}
      >
        <span class={`said ${tone(flag.severity)}`}>
          <Sign name={flag.severity} /> {flag.severity}
        </span>
        <span class="wait-words">{flag.words}</span>
        <span class="soft small">
          {item.job} {item.title}, {item.stepTitle}
        </span>
      </button>
    </li>
  )
}

/** Which item is chosen; it stays chosen while the list moves under it. */
function useChoice(list: Waiting[]) {
  const chosen = useRef<{ key: string | null; at: number }>({ key: null, at: 0 })
  const [, draw] = useState(0)
  const at = keepChoice(list, chosen.current.key, chosen.current.at)
  const choose = (next: number) => {
    const held = Math.max(0, Math.min(next, list.length - 1))
    chosen.current = { key: list[held]?.key ?? null, at: held }
    draw((n) => n + 1)
  }
  // Two quick keys come before one drawing: each counts from where the one before went.
  const move = (by: 1 | -1) => choose(keepChoice(list, chosen.current.key, chosen.current.at) + by)
  return { at, choose, move }
}

/** What waits for the lead, worst first: the list, and all that one decision needs. */
export function Review() {
  const list = waitingForLead(engines.value)
  const { at, choose, move } = useChoice(list)
  const [verb, setVerb] = useState<Verb | null>(null)
  const held = useRef<Waiting | null>(null)
  const pick = (next: Verb | null) => {
    held.current = next && (held.current ?? list[at] ?? null)
    setVerb(next)
  }
  const turn = (next: number) => {
    pick(null)
    choose(next)
  }
  const step = (by: 1 | -1) => {
    pick(null)
    move(by)
  }
  useKeys({ move: step, pick })
  // What a hand is writing about stays under it, whoever else has decided it meanwhile.
  const same = list.find(({ key }) => key === held.current?.key)
  const item = same ?? held.current ?? list[at]
  const gone = held.current !== null && same === undefined
  if (!item)
    return (
      <main class="desk-page" id="main">
        <h1>No flag waits for you</h1>
        <p>New ones come up here by themselves.</p>
        <HoldsWaiting />
      </main>
    )
  return (
    <main class="desk-page review" id="main">
      <div class="review-list">
        <h1>Waits for you</h1>
        <HoldsWaiting />
        <ol aria-label="Waiting, worst first">
          {list.map((one, index) => (
            <ListItem
              key={one.key}
              item={one}
              here={!gone && index === at}
              choose={() => turn(index)}
            />
          ))}
        </ol>
      </div>
      <div class="review-one">
        <Keys />
        <ReviewItem
          key={item.key}
          item={item}
          verb={verb}
          pick={pick}
          done={() => turn(at)}
          gone={gone}
        />
      </div>
    </main>
  )
}
