import { useState } from 'preact/hooks'
import { type Customer, draft, type Erased, eraseCustomer } from '../parts/seam.ts'
import { Sign } from '../parts/signs.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { copyWords, leftWords } from './customerwords.ts'

type Step = 'closed' | 'warned' | 'asked'

function Warning({ goOn, leave }: { goOn: () => void; leave: () => void }) {
  return (
    <section class="stack erase" aria-label="Before a customer is erased">
      <p class="flag stop">
        <Sign name="STOP" />
        <span>
          Name, phone, email, address and note are emptied for good. Nobody can bring them back.
        </span>
      </p>
      <p>
        The book stays as it is: every reading, decision and picture. Where somebody wrote the name
        into a build’s title or note, or took a picture of it, it stays there too.
      </p>
      <div class="row">
        <button type="button" class="button" onClick={goOn}>
          Go on to erase
        </button>
        <button type="button" class="button plain" onClick={leave}>
          Leave it
        </button>
      </div>
    </section>
  )
}

function useErase(id: string, done: (erased: Erased) => void) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [busy, setBusy] = useState(false)
  const send = (event: SubmitEvent) => {
    event.preventDefault()
    const reason = String(new FormData(event.currentTarget as HTMLFormElement).get('reason')).trim()
    if (busy) return
    if (reason === '') {
      setTrouble({ code: 'reason', message: 'Erasing wants its reason: say why in a few words.' })
      return
    }
    setBusy(true)
    eraseCustomer(id, reason)
      .then(async (erased) => {
        // What was half typed of the customer is as much of the customer.
        await draft.drop(`words/customer/${id}`)
        done(erased)
      })
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  return { trouble, busy, send }
}

/** The reason is no draft: it might name the customer. */
function Reason({
  customer,
  done,
  leave,
}: {
  customer: Customer
  done: (erased: Erased) => void
  leave: () => void
}) {
  const { trouble, busy, send } = useErase(customer.id, done)
  return (
    <form class="stack erase" aria-label="Erase the customer" onSubmit={send}>
      <div class="field">
        <label for={`erase-${customer.id}`}>Erase {customer.name} for good, because</label>
        <input
          id={`erase-${customer.id}`}
          name="reason"
          autocomplete="off"
          maxLength={2000}
          aria-describedby={`erase-help-${customer.id}`}
        />
        <p class="help" id={`erase-help-${customer.id}`}>
          The reason stays in “Who came in”: leave the name out of it.
        </p>
      </div>
      <TroubleLine trouble={trouble} />
      <div class="row">
        <button type="submit" class="button main" aria-disabled={busy}>
          {busy ? 'Erasing …' : 'Erase for good'}
        </button>
        <button type="button" class="button plain" onClick={leave}>
          Leave it
        </button>
      </div>
    </form>
  )
}

/** What became of it: also where the customer still is. */
export function ErasedWords({ id, erased }: { id: string; erased: Erased }) {
  return (
    <div class="stack" role="status">
      <p>
        <strong>Erased. The book is as it was.</strong>
      </p>
      {leftWords(erased).map((words) => (
        <p key={words}>{words}</p>
      ))}
      {erased.copies.length > 0 && (
        <>
          <ul class="plain-list" aria-label="Backups that still hold the customer">
            {erased.copies.map((copy) => (
              <li key={copy.name}>{copyWords(copy)}</li>
            ))}
          </ul>
          <pre class="raw">standbook erase {id} --delete-backups</pre>
        </>
      )}
    </div>
  )
}

/** Erasing lies behind two steps: the warning, then the reason. */
export function EraseCustomer({
  customer,
  done,
}: {
  customer: Customer
  done: (erased: Erased) => void
}) {
  const [step, setStep] = useState<Step>('closed')
  const leave = () => setStep('closed')
  if (step === 'warned') return <Warning goOn={() => setStep('asked')} leave={leave} />
  if (step === 'asked') return <Reason customer={customer} done={done} leave={leave} />
  return (
    <button type="button" class="button" onClick={() => setStep('warned')}>
      Erase this customer
    </button>
  )
}
