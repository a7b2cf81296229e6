import { useEffect, useState } from 'preact/hooks'
import { EntryWords, HeldWords } from '../parts/HeldWords.tsx'
import { readEntry } from '../parts/heldwords.ts'
import { to } from '../parts/router.ts'
import { buildState, dealtWith, heldBack, strip } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { moment } from '../parts/when.ts'
import { useWords } from '../parts/words.ts'

interface Aside {
  id: string
  device_no: number
  device_name: string | null
  message: string
  size: number
  received_at: string
  text: string | null
  /** Of a conflict: the entry that the book has under the same id or number. */
  first?: { text: string } | null
}

interface Asides {
  held: Aside[]
  conflicts: Aside[]
}

function DealForm({ id, done }: { id: string; done: () => void }) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const words = useWords(`held/${id}`)
  const reason = words.text.trim()
  const send = (event: Event) => {
    event.preventDefault()
    if (reason === '') return
    dealtWith(id, reason)
      .then(() => {
        words.drop()
        done()
      })
      .catch((failure) => setTrouble(troubleOf(failure)))
  }
  return (
    <form class="field" onSubmit={send}>
      <label for={`deal-${id}`}>Dealt with: how</label>
      <div class="row">
        <input
          id={`deal-${id}`}
          class="grow"
          autocomplete="off"
          value={words.text}
          onInput={(event) => words.type(event.currentTarget.value)}
        />
        <button type="submit" class="button" disabled={reason === ''}>
          Dealt with
        </button>
      </div>
      <TroubleLine trouble={trouble} />
    </form>
  )
}

/** Where the lead looks whether it was entered again. */
function BuildLink({ text }: { text: string | null }) {
  const { build } = readEntry(text)
  if (!build || !buildState(build).value) return null
  return (
    <p>
      <a class="button plain" href={to.deskBuild(build)}>
        Look at its build
      </a>
    </p>
  )
}

function AsideCard({ aside, done }: { aside: Aside; done: () => void }) {
  return (
    <li class="card stack">
      <HeldWords text={aside.text} reason={aside.message} />
      {aside.first && (
        <p>
          The book has instead: <EntryWords text={aside.first.text} />
        </p>
      )}
      <p class="soft small">
        From {aside.device_name || 'a device without a name'}, its entry {aside.device_no}, come{' '}
        {moment(aside.received_at)}
      </p>
      <BuildLink text={aside.text} />
      <details class="fold">
        <summary>As it came</summary>
        <pre class="raw">
          {aside.text ?? `Too large to keep here: ${aside.size} bytes. It is still on its device.`}
        </pre>
      </details>
      <DealForm id={aside.id} done={done} />
    </li>
  )
}

function useAsides() {
  const [asides, setAsides] = useState<Asides | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const find = () => {
    heldBack<Asides>().then(
      (found) => {
        if (found) setAsides(found)
        setTrouble(null)
      },
      (failure) => setTrouble(troubleOf(failure)),
    )
  }
  const contact = strip.value.lastContact
  useEffect(find, [contact])
  return { asides, trouble, find }
}

/** What the book could not take: nothing is dropped, each waits here until the lead has dealt with it. */
export function Held() {
  const { asides, trouble, find } = useAsides()
  const all = asides ? [...asides.held, ...asides.conflicts] : []
  return (
    <main class="desk-page stack" id="main">
      <h1>Held back</h1>
      <p class="soft">
        What the book could not take. Nothing is lost and nothing waits behind it; each stays here
        until it is entered again or left out with a reason.
      </p>
      <TroubleLine trouble={trouble} />
      {asides && all.length === 0 && <p>Nothing is held back.</p>}
      <ul class="cards">
        {all.map((aside) => (
          <AsideCard key={aside.id} aside={aside} done={find} />
        ))}
      </ul>
    </main>
  )
}
