import { useState } from 'preact/hooks'
import { Strip } from '../parts/Strip.tsx'
import { people, shopName, signIn } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { leads } from './leads.ts'

/** A browser that has not joined the shop knows nobody: the whole name is typed. */
function NameBox() {
  return (
    <div class="field">
      <label for="person">Name</label>
      <input id="person" name="person" autocomplete="username" aria-describedby="whole" required />
      <p class="help" id="whole">
        Your whole name, as the shop has it. This browser does not know its people yet.
      </p>
    </div>
  )
}

function NamePick() {
  return (
    <div class="field">
      <label for="person">Name</label>
      <select id="person" name="person" required>
        {people.value.filter(leads).map(({ id, name }) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </select>
    </div>
  )
}

function Fields() {
  return (
    <>
      {people.value.length === 0 ? <NameBox /> : <NamePick />}
      <div class="field">
        <label for="password">Password</label>
        <input
          id="password"
          name="password"
          type="password"
          autocomplete="current-password"
          required
        />
      </div>
    </>
  )
}

function useSignIn() {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [busy, setBusy] = useState(false)
  const send = (event: SubmitEvent) => {
    event.preventDefault()
    const form = new FormData(event.currentTarget as HTMLFormElement)
    setBusy(true)
    signIn(String(form.get('person')), String(form.get('password')))
      .then(() => setTrouble(null))
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  return { trouble, busy, send }
}

/** The lead signs in with the password; the stand needs nobody signed in. */
export function SignIn() {
  const { trouble, busy, send } = useSignIn()
  return (
    <>
      <Strip />
      <main class="page sign-in stack" id="main">
        <h1>{shopName.value ?? 'Standbook'}: the lead's desk</h1>
        <form class="stack" onSubmit={send}>
          <Fields />
          <TroubleLine trouble={trouble} />
          <button type="submit" class="button main wide" aria-disabled={busy}>
            Sign in
          </button>
        </form>
        <p>
          <a href="/">To the stand</a>
        </p>
      </main>
    </>
  )
}
