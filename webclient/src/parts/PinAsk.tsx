import { useEffect, useState } from 'preact/hooks'
import { PinPad } from './PinPad.tsx'
import { FEWEST_DIGITS, lockedWords, missWords } from './pinwords.ts'
import { checkPin, type GivenPin, pinLeft, unlock, unlockers } from './seam.ts'
import { nameOf } from './spell.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'

interface Props {
  person: string
  /** What the main key does. */
  act: string
  /** The PIN fits. What fails in here is told, and the PIN can be given again. */
  done: (given: GivenPin) => Promise<void> | void
  /** The lead who is about to unlock the person; null: nobody is. */
  lead: string | null
  askLead: (lead: string | null) => void
}

interface Entry extends Props {
  missed: (left: number) => void
}

function useEntry({ person, done, missed }: Entry) {
  const [digits, setDigits] = useState('')
  const [busy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const check = async () => {
    const answer = await checkPin(person, digits)
    setDigits('')
    if ('given' in answer) return done(answer.given)
    setTrouble({ code: 'pin_missed', message: missWords(nameOf(person), answer.left) })
    missed(answer.left)
  }
  const send = () => {
    if (busy || digits.length < FEWEST_DIGITS) return
    setBusy(true)
    setTrouble(null)
    check()
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  return { digits, type: setDigits, busy, trouble, send }
}

/** Digits and the key that checks them. */
function Entry(props: Entry) {
  const { digits, type, busy, trouble, send } = useEntry(props)
  const short = digits.length < FEWEST_DIGITS
  return (
    <>
      <TroubleLine trouble={trouble} />
      <PinPad digits={digits} type={type} />
      <button type="button" class="button main wide" aria-disabled={busy || short} onClick={send}>
        {busy ? 'Checking …' : props.act}
      </button>
    </>
  )
}

/** A lead unlocks somebody with the own PIN; without network. */
function Locked(props: Props & { open: () => void }) {
  const { person, lead, askLead, open } = props
  const leads = unlockers(person)
  if (lead !== null) {
    const unlocked = async (given: GivenPin) => {
      await unlock(person, given)
      askLead(null)
      open()
    }
    const act = `Unlock ${nameOf(person)}`
    return (
      <PinAsk key={lead} person={lead} act={act} done={unlocked} lead={null} askLead={askLead} />
    )
  }
  return (
    <div class="stack">
      <p role="alert">
        {lockedWords(
          nameOf(person),
          leads.map(({ name }) => name),
        )}
      </p>
      {leads.map(({ id, name }) => (
        <button key={id} type="button" class="button wide" onClick={() => askLead(id)}>
          {name} unlocks
        </button>
      ))}
    </div>
  )
}

/** Asks a person's PIN, or for a lead who unlocks that person on this phone. */
export function PinAsk(props: Props) {
  const { person } = props
  const [left, setLeft] = useState<number | null>(null)
  const look = () => {
    pinLeft(person).then((found) => setLeft(found ?? 0), console.warn)
  }
  useEffect(look, [person])
  if (left === null) return null
  if (left === 0) return <Locked {...props} open={look} />
  return <Entry {...props} missed={setLeft} />
}
