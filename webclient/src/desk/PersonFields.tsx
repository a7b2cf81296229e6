import { useState } from 'preact/hooks'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import type { Doing } from './doing.ts'

/** The shop's roles; what each may is the server's affair. */
export const ROLES = ['builder', 'dyno operator', 'lead', 'owner', 'machine shop', 'apprentice']

interface RoleProps {
  id: string
  role: string
  choose: (role: string) => void
}

export function RoleField({ id, role, choose }: RoleProps) {
  return (
    <>
      <label for={id}>Role</label>
      <select id={id} value={role} onInput={(event) => choose(event.currentTarget.value)}>
        {ROLES.map((one) => (
          <option key={one} value={one}>
            {one}
          </option>
        ))}
      </select>
    </>
  )
}

/** What became of it, said also to who does not see the screen. */
export function Done({ doing }: { doing: Doing }) {
  return (
    <>
      <p role="status">{doing.told}</p>
      <TroubleLine trouble={doing.trouble} />
    </>
  )
}

interface SecretProps {
  id: string
  label: string
  help: string
  act: string
  /** Digits alone: the phone's keyboard shows digits. */
  digits?: boolean
  doing: Doing
  send: (secret: string) => Promise<unknown>
  done: string
}

/** A PIN or a password on its way to the shop; never kept on this device, so never a draft either. */
export function SecretField({ id, label, help, act, digits, doing, send, done }: SecretProps) {
  const [secret, setSecret] = useState('')
  const submit = (event: Event) => {
    event.preventDefault()
    doing.run(
      () => send(secret),
      done,
      () => setSecret(''),
    )
  }
  return (
    <form class="field" onSubmit={submit}>
      <label for={id}>{label}</label>
      <input
        id={id}
        type="password"
        inputMode={digits ? 'numeric' : 'text'}
        autocomplete="new-password"
        value={secret}
        required
        onInput={(event) => setSecret(event.currentTarget.value)}
      />
      <p class="help">{help}</p>
      <button type="submit" class="button" aria-disabled={doing.busy}>
        {act}
      </button>
      <Done doing={doing} />
    </form>
  )
}
