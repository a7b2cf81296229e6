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
function Locked({ person, open }: { person: string; open: () => void }) {
  const [lead, setLead] = useState<string | null>(null)
  const leads = unlockers(person)
  if (lead !== null) {
    const unlocked = async (given: GivenPin) => {
      await unlock(person, given)
      open()
    }
    return (
      <>
        <p>
          PIN of <strong>{nameOf(lead)}</strong>, to unlock {nameOf(person)}:
        </p>
        <PinAsk key={lead} person={lead} act={`Unlock ${nameOf(person)}`} done={unlocked} />
      </>
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
        <button key={id} type="button" class="button wide" onClick={() => setLead(id)}>
          {name} unlocks
        </button>
      ))}
    </div>
  )
}

/** Asks a person's PIN, or for somebody who unlocks that person on this phone. */
export function PinAsk(props: Props) {
  const { person } = props
  const [left, setLeft] = useState<number | null>(null)
  const look = () => {
    pinLeft(person).then((found) => setLeft(found ?? 0), console.warn)
  }
  useEffect(look, [person])
  if (left === null) return null
  if (left === 0) return <Locked person={person} open={look} />
  return <Entry {...props} missed={setLeft} />
}
