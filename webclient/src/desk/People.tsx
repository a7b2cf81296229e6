import { useState } from 'preact/hooks'
import { people, session } from '../parts/seam.ts'
import { Said } from '../parts/signs.tsx'
import { OwnSecrets } from './OwnSecrets.tsx'
import { PersonForms } from './PersonForms.tsx'
import { TakeOn } from './TakeOn.tsx'

interface Someone {
  id: string
  name: string
  role: string
  version?: string
  pin?: object | null
}

function HasPin({ person }: { person: Someone }) {
  return person.pin ? (
    <span class="good">
      <Said name="accepted" words="has a PIN" />
    </span>
  ) : (
    <span class="warn">
      <Said name="WARN" words="no PIN yet" />
    </span>
  )
}

function PersonRow({ person }: { person: Someone }) {
  const [open, setOpen] = useState(false)
  const me = session.value?.person?.id === person.id
  return (
    <li class="card person-card">
      <h2>
        {person.name}
        {me && <span class="soft small"> (you)</span>}
      </h2>
      <p>{person.role}</p>
      <p>
        <HasPin person={person} />
      </p>
      <button type="button" class="button" aria-expanded={open} onClick={() => setOpen(!open)}>
        <span>
          {open ? 'Close' : 'Change'} <span class="unseen">{person.name}</span>
        </span>
      </button>
      {open && <PersonForms person={person} />}
    </li>
  )
}

/** Everybody of the shop: who may do what, and how each proves it. */
export function People() {
  return (
    <main class="desk-page stack" id="main">
      <h1>People</h1>
      <p class="soft">
        A PIN stands for a signature at the stand, a password for the desk. Neither can be looked up
        here; a new one takes the place of the old one.
      </p>
      <ul class="cards" aria-label="People">
        {people.value.map((person) => (
          <PersonRow key={person.id} person={person} />
        ))}
      </ul>
      <TakeOn />
      <OwnSecrets />
    </main>
  )
}
