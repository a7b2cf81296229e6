import { useState } from 'preact/hooks'
import { PinAsk } from './PinAsk.tsx'
import { Sheet } from './Sheet.tsx'
import type { GivenPin } from './seam.ts'
import { nameOf } from './spell.ts'

interface Props {
  person: string
  act: string
  done: (given: GivenPin) => Promise<void> | void
  close: () => void
}

/** The PIN pad as a sheet: whose PIN it is stands at its top. */
export function PinSheet({ person, act, done, close }: Props) {
  const [lead, askLead] = useState<string | null>(null)
  return (
    <Sheet title={`PIN of ${nameOf(lead ?? person)}`} close={close} light={false}>
      <PinAsk person={person} act={act} done={done} lead={lead} askLead={askLead} />
    </Sheet>
  )
}
