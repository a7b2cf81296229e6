import { useState } from 'preact/hooks'
import { takeOn } from '../parts/seam.ts'
import { useDoing } from './doing.ts'
import { Done, RoleField } from './PersonFields.tsx'

/** Somebody new. PIN and password follow at the name in the list. */
export function TakeOn() {
  const [name, setName] = useState('')
  const [role, setRole] = useState('builder')
  const doing = useDoing()
  const send = (event: Event) => {
    event.preventDefault()
    const words = `${name.trim()} is on the list. Give a PIN there.`
    doing.run(
      () => takeOn(name, role),
      words,
      () => setName(''),
    )
  }
  return (
    <section class="stack person-new" aria-label="Take somebody on">
      <h2>Take somebody on</h2>
      <form class="field" onSubmit={send}>
        <label for="new-name">Name, as the screens shall say it</label>
        <input
          id="new-name"
          value={name}
          autocomplete="off"
          required
          onInput={(event) => setName(event.currentTarget.value)}
        />
        <RoleField id="new-role" role={role} choose={setRole} />
        <button type="submit" class="button" aria-disabled={doing.busy}>
          Take on
        </button>
        <Done doing={doing} />
      </form>
    </section>
  )
}
