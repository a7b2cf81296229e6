import { useEffect, useState } from 'preact/hooks'
import { to } from './router.ts'
import { dealWithHeld, heldEntries, strip } from './seam.ts'
import { Sign } from './signs.tsx'
import { hand } from './spell.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'
import { moment } from './when.ts'

interface Held {
  id: string
  device_no: number
  /** Who made it, where it was another device. */
  device: string | undefined
  what: string
  reason: string
  /** Where it can be entered again. */
  again: string | null
}

interface Written {
  build?: string
  step?: string | null
  made_at?: string
  body?: { value?: { text?: string; unit?: string | null } | null }
}

function readText(text: string): Written {
  try {
    return JSON.parse(text) as Written
  } catch {
    return {}
  }
}

/** What an entry was about, in words that a person recognises: its value, and when it was made. */
function whatOf({ body, made_at }: Written): string {
  const value = [body?.value?.text, body?.value?.unit].filter(Boolean).join(' ')
  return `${value || 'An entry'}, made ${moment(made_at ?? '')}`
}

async function findHeld(): Promise<Held[]> {
  const entries = await heldEntries()
  return entries.map(({ id, device, device_no, text, held }) => {
    const written = readText(text)
    const { build, step } = written
    return {
      id: `${device ?? ''}/${device_no}/${id}`,
      device_no: device_no ?? 0,
      device,
      what: whatOf(written),
      reason: held?.message ?? 'The shop gave no reason.',
      again: build && step ? to.step(build, step) : null,
    }
  })
}

/** Dealt with means: entered again, or left out with a reason. The shop notes who said so. */
function DealWith({ held, done }: { held: Held; done: () => void }) {
  const [reason, setReason] = useState('')
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const deal = (why: string) => {
    if (!hand.value)
      return setTrouble({ code: 'nobody_there', message: 'Say first who is at the stand.' })
    dealWithHeld(held.device_no, hand.value, why, held.device)
      .then(done)
      .catch((failure) => setTrouble(troubleOf(failure)))
  }
  const leaveOut = (event: Event) => {
    event.preventDefault()
    if (reason.trim()) deal(`left out: ${reason.trim()}`)
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
            value={reason}
            onInput={(event) => setReason(event.currentTarget.value)}
          />
          <button type="submit" class="button wide" disabled={reason.trim() === ''}>
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
            <p class="flag warn">
              <Sign name="WARN" />
              <span>
                <strong>{one.what}</strong> {one.reason}
              </span>
            </p>
            <DealWith held={one} done={find} />
          </li>
        ))}
      </ul>
    </section>
  )
}
