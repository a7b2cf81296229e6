import { useState } from 'preact/hooks'
import { go, to } from '../parts/router.ts'
import { beginShop } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { useWords } from '../parts/words.ts'

/** Names are drafts like all that is half typed; a password is never written down here. */
function NameField({ id, label, most }: { id: string; label: string; most: number }) {
  const words = useWords(`first/${id}`)
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        name={id}
        maxLength={most}
        autocomplete={id === 'name' ? 'name' : 'organization'}
        value={words.text}
        onInput={(event) => words.type(event.currentTarget.value)}
        required
      />
    </div>
  )
}

function PasswordField({ id, label, help }: { id: string; label: string; help?: string }) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        name={id}
        type="password"
        autocomplete="new-password"
        aria-describedby={help ? `${id}-help` : undefined}
        required
      />
      {help && (
        <p class="help" id={`${id}-help`}>
          {help}
        </p>
      )}
    </div>
  )
}

const APART: Trouble = {
  code: 'apart',
  message: 'The two passwords are not the same: type both once more.',
}

function useBegin() {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [busy, setBusy] = useState(false)
  const send = (event: SubmitEvent) => {
    event.preventDefault()
    const form = new FormData(event.currentTarget as HTMLFormElement)
    const said = (name: string) => String(form.get(name))
    if (busy) return
    if (said('password') !== said('again')) {
      setTrouble(APART)
      return
    }
    setBusy(true)
    const { shop, name, password } = {
      shop: said('shop'),
      name: said('name'),
      password: said('password'),
    }
    beginShop({ token: location.hash.slice(1), shop, name, password })
      // The link is used up: the way back does not lead to it.
      .then(() => go(to.desk, true))
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  return { trouble, busy, send }
}

function Fields() {
  const { trouble, busy, send } = useBegin()
  return (
    <form class="stack" onSubmit={send}>
      <NameField id="shop" label="The shop's name" most={120} />
      <NameField id="name" label="Your name" most={80} />
      <PasswordField
        id="password"
        label="Password"
        help="At least 8 characters, of any sort; a few words are good. Not your name."
      />
      <PasswordField id="again" label="The same password again" />
      <TroubleLine trouble={trouble} />
      <button type="submit" class="button main wide" aria-disabled={busy}>
        Open the shop's book
      </button>
    </form>
  )
}

/** A shop's beginning, by the link that its server printed: its name and its first lead. */
export function FirstLead() {
  return (
    <main class="page sign-in stack" id="main">
      <h1>A new shop's book</h1>
      <p>
        You are its first lead: you sign in at the desk, open builds and decide. The others are
        taken on from there.
      </p>
      {location.hash.length > 1 ? (
        <Fields />
      ) : (
        <p>
          This address has been cut short. Open the link whole, as the server printed it when it was
          started.
        </p>
      )}
      <p>
        <a href={to.desk}>To the desk</a>
      </p>
    </main>
  )
}
