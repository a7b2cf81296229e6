import { useState } from 'preact/hooks'
import { PeopleKeys } from './PeopleKeys.tsx'
import { PinSheet } from './PinSheet.tsx'
import { hasPin } from './seam.ts'
import { handTo } from './spell.ts'

/** Who takes the phone: a tap on the name, then the PIN, once for this spell of work. */
export function TakeKeys({ taken }: { taken?: () => void }) {
  const [asked, setAsked] = useState<string | null>(null)
  const take = async (person: string) => {
    await handTo(person)
    taken?.()
  }
  return (
    <>
      <PeopleKeys chosen={(person) => (hasPin(person) ? setAsked(person) : void take(person))} />
      {asked !== null && (
        <PinSheet
          person={asked}
          act="Take the phone"
          done={() => take(asked)}
          close={() => setAsked(null)}
        />
      )}
    </>
  )
}
