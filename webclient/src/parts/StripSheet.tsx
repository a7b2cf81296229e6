import { useEffect, useState } from 'preact/hooks'
import { Sheet } from './Sheet.tsx'
import { heldEntries, strip, syncNow } from './seam.ts'
import { Sign } from './signs.tsx'
import { stripExplains } from './striptext.ts'
import { moment } from './when.ts'

interface Held {
  id: string
  what: string
  reason: string
}

/** What an entry was about, in words that a person recognises: its value, and when it was made. */
function whatOf(text: string): string {
  try {
    const { body, made_at } = JSON.parse(text) as {
      body: { value?: { text?: string; unit?: string | null } }
      made_at: string
    }
    const value = [body.value?.text, body.value?.unit].filter(Boolean).join(' ')
    return `${value || 'An entry'}, made ${moment(made_at)}`
  } catch {
    return 'An entry'
  }
}

async function findHeld(): Promise<Held[]> {
  const entries = await heldEntries()
  return entries.map(({ id, text, held }) => ({
    id,
    what: whatOf(text),
    reason: held?.message ?? 'The shop gave no reason.',
  }))
}

function HeldList({ held }: { held: Held[] }) {
  if (held.length === 0) return null
  return (
    <section class="stack" aria-label="Held back">
      <h3>Held back at the shop</h3>
      <p>
        Nothing is lost and nothing waits behind these. They stay here and at the desk until
        somebody deals with them.
      </p>
      <ul class="flags">
        {held.map(({ id, what, reason }) => (
          <li key={id} class="flag warn">
            <Sign name="WARN" />
            <span>
              <strong>{what}</strong> {reason}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}

/** The strip at length: what lies here only, what the shop holds back and why, and a try at once. */
export function StripSheet({ close }: { close: () => void }) {
  const [held, setHeld] = useState<Held[]>([])
  const [tried, setTried] = useState(false)
  const count = strip.value.held
  useEffect(() => {
    findHeld().then(setHeld, () => setHeld([]))
  }, [count])
  const now = () => {
    setTried(true)
    void syncNow()
  }
  return (
    <Sheet title="Your work and the shop" close={close}>
      <div class="stack" role="status">
        {stripExplains(strip.value).map((line) => (
          <p key={line}>{line}</p>
        ))}
        {strip.value.lastContact !== null && (
          <p class="soft">Last contact with the shop: {moment(strip.value.lastContact)}.</p>
        )}
      </div>
      <HeldList held={held} />
      <button type="button" class="button wide" onClick={now}>
        {tried ? 'Try the shop again' : 'Try the shop now'}
      </button>
    </Sheet>
  )
}
