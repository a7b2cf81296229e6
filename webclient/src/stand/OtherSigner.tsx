import { useState } from 'preact/hooks'
import { PeopleKeys } from '../parts/PeopleKeys.tsx'
import { Sheet } from '../parts/Sheet.tsx'
import { hasPin, people } from '../parts/seam.ts'
import { hand, nameOf } from '../parts/spell.ts'

interface Props {
  other: string | null
  choose: (person: string | null) => void
}

/** Signs nothing, whatever is typed; the shop would keep it back. */
const SIGNS_NOTHING = 'apprentice'

/** Whose phone does not matter, whose PIN does: a lead signs on the builder's phone. Only who has a PIN is offered. */
export function OtherSigner({ other, choose }: Props) {
  const [open, setOpen] = useState(false)
  const which = people.value.filter(
    ({ id, role }) => id !== hand.value && role !== SIGNS_NOTHING && hasPin(id),
  )
  if (which.length === 0) return null
  if (other !== null)
    return (
      <button type="button" class="button plain wide" onClick={() => choose(null)}>
        Sign as {nameOf(hand.value ?? '')} after all
      </button>
    )
  const chosen = (person: string) => {
    choose(person)
    setOpen(false)
  }
  return (
    <>
      <button type="button" class="button plain wide" onClick={() => setOpen(true)}>
        Sign as somebody else
      </button>
      {open && (
        <Sheet title="Who signs?" close={() => setOpen(false)}>
          <p>The PIN of who signs is asked next.</p>
          <PeopleKeys chosen={chosen} which={which} />
        </Sheet>
      )}
    </>
  )
}
