import { useState } from 'preact/hooks'
import type { StepView } from '../brain/types.ts'
import { buzz } from '../parts/feel.ts'
import { sha256 } from '../parts/seam.ts'
import { Said } from '../parts/signs.tsx'
import { hand, nameOf } from '../parts/spell.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { moment } from '../parts/when.ts'
import { useWords } from '../parts/words.ts'
import { enter } from '../parts/write.ts'

/** Signs what is in sight: the text of values, verdicts and limits goes along as it was shown. */
async function sign(view: StepView, note: string, draft: string): Promise<void> {
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
    hand.value,
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

function SignForm({ view }: { view: StepView }) {
  const note = useWords(`sign/${view.build}/${view.id}`)
  const [busy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const send = (event: Event) => {
    event.preventDefault()
    if (busy) return
    setBusy(true)
    sign(view, note.text.trim(), note.key)
      .then(() => {
        note.drop()
        setTrouble(null)
      })
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
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
      <button type="submit" class="button main wide" aria-disabled={busy}>
        Sign this step
      </button>
      <p class="help">
        You sign with your name, {nameOf(hand.value ?? '')}, for the values and limits shown above.
      </p>
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
