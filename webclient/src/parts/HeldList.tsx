import { useEffect, useState } from 'preact/hooks'
import { HeldWords } from './HeldWords.tsx'
import { readEntry } from './heldwords.ts'
import { to } from './router.ts'
import { dealWithHeld, heldEntries, session, strip } from './seam.ts'
import { hand } from './spell.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'
import { useWords } from './words.ts'

interface Held {
  id: string
  device_no: number
  /** Who made it, where it was another device. */
  device: string | undefined
  text: string
  reason: string
  /** Where it can be entered again. */
  again: string | null
}

async function findHeld(): Promise<Held[]> {
  const entries = await heldEntries()
  return entries.map(({ id, device, device_no, text, held }) => {
    const { build, step } = readEntry(text)
    return {
      id: `${device ?? ''}/${device_no}/${id}`,
      device_no: device_no ?? 0,
      device,
      text,
      reason: held?.message ?? 'The shop gave no reason.',
      again: build && step ? to.step(build, step) : null,
    }
  })
}

/** Dealt with means: entered again, or left out with a reason. The shop notes who said so. */
function DealWith({ held, done }: { held: Held; done: () => void }) {
  const words = useWords(`held/${held.id}`)
  const reason = words.text.trim()
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const deal = (why: string) => {
    const person = hand.value ?? session.value?.person?.id
    if (!person)
      return setTrouble({ code: 'nobody_there', message: 'Say first who is at the stand.' })
    dealWithHeld(held.device_no, person, why, held.device)
      .then(() => {
        words.drop()
        done()
      })
      .catch((failure) => setTrouble(troubleOf(failure)))
  }
  const leaveOut = (event: Event) => {
    event.preventDefault()
    if (reason) deal(`left out: ${reason}`)
  }
  const name = `held-${held.id}`
  return (
    <details class="fold">
      <summary>Deal with it</summary>
      <div class="stack">
        {held.again && (
          <a class="button wide" href={held.again}>
            To its step, to enter it again
          </a>
        )}
        <button type="button" class="button wide" onClick={() => deal('entered again')}>
          It is entered again
        </button>
        <form class="field" onSubmit={leaveOut}>
          <label for={name}>Left out, because</label>
          <input
            id={name}
            autocomplete="off"
            value={words.text}
            onInput={(event) => words.type(event.currentTarget.value)}
          />
          <button type="submit" class="button wide" disabled={reason === ''}>
            Leave it out
          </button>
        </form>
        <TroubleLine trouble={trouble} />
      </div>
    </details>
  )
}

/** What the shop keeps back of this device, each with its reason and the ways to deal with it. */
export function HeldList() {
  const [held, setHeld] = useState<Held[]>([])
  const count = strip.value.held
  const find = () => {
    findHeld().then(setHeld, () => setHeld([]))
  }
  useEffect(find, [count])
  if (held.length === 0) return null
  return (
    <section class="stack" aria-label="Held back">
      <h3>Held back at the shop</h3>
      <p>
        Nothing is lost and nothing waits behind these. They stay here and at the desk until
        somebody deals with them.
      </p>
      <ul class="cards">
        {held.map((one) => (
          <li key={one.id} class="card stack">
            <HeldWords text={one.text} reason={one.reason} />
            <DealWith held={one} done={find} />
          </li>
        ))}
      </ul>
    </section>
  )
}
