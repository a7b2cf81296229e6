import { useState } from 'preact/hooks'
import { EntryWords } from './HeldWords.tsx'
import { PinSheet } from './PinSheet.tsx'
import { type GivenPin, pinsWanted, proveWanted, syncNow, type Wanted } from './seam.ts'
import { nameOf } from './spell.ts'

function One({ wanted }: { wanted: Wanted }) {
  const [open, setOpen] = useState(false)
  const name = nameOf(wanted.person)
  const prove = async (given: GivenPin) => {
    await proveWanted(wanted, given)
    setOpen(false)
    void syncNow()
  }
  return (
    <li class="card stack">
      <p>
        <EntryWords text={wanted.text} />
      </p>
      <p>{wanted.message}</p>
      {wanted.can && (
        <button type="button" class="button wide" onClick={() => setOpen(true)}>
          {name} gives the PIN
        </button>
      )}
      {open && (
        <PinSheet
          person={wanted.person}
          act="Give it to the shop"
          done={prove}
          close={() => setOpen(false)}
        />
      )}
    </li>
  )
}

/** What waits here for somebody's PIN, and the way to give it. */
export function WantedPins() {
  if (pinsWanted.value.length === 0) return null
  return (
    <section class="stack" aria-label="Waits for a PIN">
      <h3>Waits for a PIN</h3>
      <p>The shop takes this, and what was recorded after it, when the PIN has been given.</p>
      <ul class="cards">
        {pinsWanted.value.map((wanted) => (
          <One key={`${wanted.device}/${wanted.device_no}`} wanted={wanted} />
        ))}
      </ul>
    </section>
  )
}
