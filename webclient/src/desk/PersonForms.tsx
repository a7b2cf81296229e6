import { useRef, useState } from 'preact/hooks'
import { changePerson, givePassword, givePin, personLeft } from '../parts/seam.ts'
import { useDoing } from './doing.ts'
import { Done, RoleField, SecretField } from './PersonFields.tsx'

interface Props {
  person: { id: string; name: string; role: string; version?: string }
}

function NameAndRole({ person }: Props) {
  const [name, setName] = useState(person.name)
  const [role, setRole] = useState(person.role)
  // As it was when the form was opened; once it is told that it is another now, as it stands.
  const looked = useRef(person.version)
  const doing = useDoing()
  const keep = async () => {
    const version = looked.current ?? person.version ?? ''
    looked.current = undefined
    await changePerson(person.id, { name, role }, version)
  }
  const send = (event: Event) => {
    event.preventDefault()
    doing.run(keep, 'Changed.')
  }
  const field = `name-${person.id}`
  return (
    <form class="field" onSubmit={send}>
      <label for={field}>Name</label>
      <input
        id={field}
        value={name}
        autocomplete="off"
        required
        onInput={(event) => setName(event.currentTarget.value)}
      />
      <RoleField id={`role-${person.id}`} role={role} choose={setRole} />
      <button type="submit" class="button" aria-disabled={doing.busy}>
        Keep name and role
      </button>
      <Done doing={doing} />
    </form>
  )
}

function NewPin({ person }: Props) {
  const doing = useDoing()
  return (
    <SecretField
      id={`pin-${person.id}`}
      label="New PIN, 6 to 12 digits"
      help="Let the person type it. Phones know it when they have next reached the shop."
      act="Give this PIN"
      digits
      doing={doing}
      send={(pin) => givePin(person.id, pin)}
      done={`${person.name} has the new PIN.`}
    />
  )
}

function NewPassword({ person }: Props) {
  const doing = useDoing()
  return (
    <SecretField
      id={`password-${person.id}`}
      label="New password, at least 8 characters"
      help="Wherever this person is signed in, that ends."
      act="Give this password"
      doing={doing}
      send={(password) => givePassword(person.id, password)}
      done={`${person.name} signs in with the new password.`}
    />
  )
}

/** Asked once more: it ends at once what this person may do. */
function Left({ person }: Props) {
  const [sure, setSure] = useState(false)
  const doing = useDoing()
  const leave = () => doing.run(() => personLeft(person.id), '')
  return (
    <div class="field">
      <p class="label">Left the shop</p>
      <p class="help">
        Ends every sign-in of {person.name} at once. What {person.name} recorded stays in the book
        under the name.
      </p>
      {sure ? (
        <div class="row">
          <button type="button" class="button" aria-disabled={doing.busy} onClick={leave}>
            Yes, {person.name} has left
          </button>
          <button type="button" class="button plain" onClick={() => setSure(false)}>
            No
          </button>
        </div>
      ) : (
        <button type="button" class="button" onClick={() => setSure(true)}>
          {person.name} has left the shop
        </button>
      )}
      <Done doing={doing} />
    </div>
  )
}

/** All that a lead changes about somebody. */
export function PersonForms({ person }: Props) {
  return (
    <div class="person-forms">
      <NameAndRole person={person} />
      <NewPin person={person} />
      <NewPassword person={person} />
      <Left person={person} />
    </div>
  )
}
