import { useState } from 'preact/hooks'
import type { StepView } from '../brain/types.ts'
import { buzz } from '../parts/feel.ts'
import { PinSheet } from '../parts/PinSheet.tsx'
import { type GivenPin, hasPin, sha256 } from '../parts/seam.ts'
import { Said } from '../parts/signs.tsx'
import { hand, nameOf } from '../parts/spell.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { moment } from '../parts/when.ts'
import { useWords } from '../parts/words.ts'
import { enter } from '../parts/write.ts'
import { OtherSigner } from './OtherSigner.tsx'

/** Who signs: with the PIN, where the person has one. */
interface Signer {
  person: string | null | undefined
  given: GivenPin | null
}

/** Signs what is in sight: the text of values, verdicts and limits goes along as it was shown. */
async function sign(
  view: StepView,
  note: string,
  draft: string,
  { person, given }: Signer,
): Promise<void> {
  const { shown, uses } = view.sign
  const hash = await sha256(shown)
  const body = { v: 1, shown: hash, uses, note }
  await enter(
    {
      build: view.build,
      kind: 'step_signed',
      step: view.id,
      place: null,
      why: null,
      body,
      blobs: [{ sha256: hash, text: shown }],
      draft,
    },
    person,
    given,
  )
  buzz()
}

function Missing({ missing }: { missing: string[] }) {
  return (
    <div>
      <p>It cannot be signed yet:</p>
      <ul class="dashes">
        {missing.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
    </div>
  )
}

/** The form's state: a note that is kept, who signs, and the way into the book. */
function useSigning(view: StepView) {
  const note = useWords(`sign/${view.build}/${view.id}`)
  const [other, setOther] = useState<string | null>(null)
  const [asking, setAsking] = useState(false)
  const [busy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const signer = other ?? hand.value ?? null
  const enterIt = async (given: GivenPin | null) => {
    await sign(view, note.text.trim(), note.key, { person: signer, given })
    note.drop()
    setAsking(false)
  }
  const send = (event: Event) => {
    event.preventDefault()
    if (busy) return
    setTrouble(null)
    if (signer && hasPin(signer)) return setAsking(true)
    setBusy(true)
    enterIt(null)
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  return { note, signer, other, setOther, asking, setAsking, busy, trouble, enterIt, send }
}

function SignForm({ view }: { view: StepView }) {
  const { note, signer, other, setOther, asking, setAsking, busy, trouble, enterIt, send } =
    useSigning(view)
  return (
    <form class="field" onSubmit={send}>
      <label for="sign-note">Note, if there is something to say</label>
      <input
        id="sign-note"
        autocomplete="off"
        value={note.text}
        onInput={(event) => note.type(event.currentTarget.value)}
      />
      <TroubleLine trouble={trouble} />
      <p class="help">
        Signed with the name of <strong>{nameOf(signer ?? '')}</strong>, for the values and limits
        shown above.
      </p>
      <OtherSigner other={other} choose={setOther} />
      <button type="submit" class="button main wide" aria-disabled={busy}>
        Sign this step
      </button>
      {asking && signer && (
        <PinSheet
          person={signer}
          act="Sign this step"
          done={enterIt}
          close={() => setAsking(false)}
        />
      )}
    </form>
  )
}

/** The signature of a step, or what stands in its way. */
export function SignPanel({ view }: { view: StepView }) {
  const { signed } = view
  return (
    <section class="panel stack" aria-label="Signature">
      <h2>Signature</h2>
      {signed && (
        <p>
          <Said name="accepted" words="Signed" /> by {nameOf(signed.person)}, {moment(signed.at)}
        </p>
      )}
      {!signed && !view.sign.ready && <Missing missing={view.sign.missing} />}
      {!signed && view.sign.ready && <SignForm view={view} />}
    </section>
  )
}
