import { useState } from 'preact/hooks'
import type { HoldSigner, HoldView } from '../brain/types.ts'
import { buzz } from './feel.ts'
import { type Answers, open, type Place, signedFact } from './holdanswers.ts'
import { PeopleKeys } from './PeopleKeys.tsx'
import { PinSheet } from './PinSheet.tsx'
import { Sheet } from './Sheet.tsx'
import { type GivenPin, hasPin, people, sha256 } from './seam.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'
import { moment } from './when.ts'
import { enter } from './write.ts'

export interface Where {
  /** Who is signed in here, and so gives no PIN; null at the stand. */
  signedIn: string | null
  /** Where a signer stands, unless he says otherwise. */
  at: Place['at']
}

interface Props extends Where {
  view: HoldView
  answers: Answers
  /** The draft of the answers: the signature makes it good. */
  draft: string
  done: () => void
}

async function sign(props: Props, place: Place, person: string, given: GivenPin | null) {
  const { view, answers, draft } = props
  const { shown } = view.sign
  const hash = await sha256(shown)
  const fact = signedFact(view, place, answers, hash)
  await enter({ ...fact, blobs: [{ sha256: hash, text: shown }], draft }, person, given)
  buzz()
  props.done()
}

function Whereabouts({ at, say }: { at: Place['at']; say: (at: Place['at']) => void }) {
  const words: [Place['at'], string][] = [
    ['engine', 'At the engine'],
    ['away', 'Away from it, from the values and pictures'],
  ]
  return (
    <fieldset class="line-keys">
      <legend>Where the signer is</legend>
      {words.map(([where, said]) => (
        <button
          key={where}
          type="button"
          class="button"
          aria-pressed={at === where}
          onClick={() => say(where)}
        >
          {said}
        </button>
      ))}
    </fieldset>
  )
}

/** Who may sign so, by role and by what else he did here; and why the others cannot. */
function whoMay({ not_them }: HoldView, { signs_as, roles }: HoldSigner) {
  const barred = not_them.filter((row) => row.signs_as === signs_as)
  const fit = people.value.filter(
    ({ id, role }) => roles.includes(role) && !barred.some(({ person }) => person === id),
  )
  return { fit, barred }
}

function SignSheet(props: Props & { signer: HoldSigner; close: () => void }) {
  const { view, signer, signedIn, close } = props
  const [at, setAt] = useState<Place['at']>(signer.away ? props.at : 'engine')
  const [person, setPerson] = useState<string | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const { fit, barred } = whoMay(view, signer)
  const place = { signs_as: signer.signs_as, at }
  const chosen = (one: string) => {
    if (one !== signedIn && hasPin(one)) return setPerson(one)
    sign(props, place, one, null).catch((failure) => setTrouble(troubleOf(failure)))
  }
  if (person)
    return (
      <PinSheet
        person={person}
        act={`Sign as ${signer.words}`}
        done={(given) => sign(props, place, person, given)}
        close={close}
      />
    )
  return (
    <Sheet title={`Who signs as ${signer.words}?`} close={close}>
      <div class="stack">
        {signer.away ? (
          <Whereabouts at={at} say={setAt} />
        ) : (
          <p>Whoever signs as {signer.words} stands at the engine.</p>
        )}
        <TroubleLine trouble={trouble} />
        {fit.length === 0 && <p>Nobody on this device may: it takes a {signer.words}.</p>}
        <PeopleKeys chosen={chosen} which={fit} />
        {barred.map(({ words }) => (
          <p key={words} class="soft small">
            {words}
          </p>
        ))}
      </div>
    </Sheet>
  )
}

/** One of the two: signed, or the key to sign with. */
function Signer(props: Props & { signer: HoldSigner; ready: boolean }) {
  const { signer, ready } = props
  const [asking, setAsking] = useState(false)
  const { signed, words } = signer
  if (signed)
    return (
      <p>
        Signed as {words} by {signed.person}, {moment(signed.at)}
        {signed.where}
      </p>
    )
  if (!ready) return <p class="soft">Not signed as {words}.</p>
  const done = () => {
    setAsking(false)
    props.done()
  }
  return (
    <>
      <button type="button" class="button main wide" onClick={() => setAsking(true)}>
        Sign as {words}
      </button>
      {asking && <SignSheet {...props} done={done} close={() => setAsking(false)} />}
    </>
  )
}

function Barriers({ words }: { words: string[] }) {
  return (
    <div>
      <p>It cannot be signed yet:</p>
      <ul class="dashes">
        {words.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
    </div>
  )
}

/** What still stands in the way of a signature: in the book, and in the answers. */
function barriers(view: HoldView, answers: Answers): string[] {
  const left = open(view.lines, answers).length
  const words = left === 1 ? '1 line above wants an answer.' : `${left} lines above want an answer.`
  return [...view.sign.missing, ...(left ? [words] : [])]
}

/** Both signatures of a Hold, or what stands in their way. */
export function HoldSign(props: Props) {
  const { view, answers } = props
  const unsigned = view.signers.some(({ signed }) => signed === null)
  const missing = unsigned ? barriers(view, answers) : []
  return (
    <section class="panel stack" aria-label="Signatures">
      <h2>Signatures</h2>
      {missing.length > 0 && <Barriers words={missing} />}
      {view.signers.map((signer) => (
        <Signer key={signer.signs_as} {...props} signer={signer} ready={missing.length === 0} />
      ))}
    </section>
  )
}
