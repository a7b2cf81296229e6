import { useState } from 'preact/hooks'
import { type Customer, sayWhose, session } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { CustomerCard } from './CustomerCard.tsx'
import { CustomerForm } from './CustomerForm.tsx'
import { customerName, customerOf, there } from './customerwords.ts'
import { leads } from './leads.ts'
import { useCustomers } from './useCustomers.ts'

interface Choosing {
  build: string
  now: Customer | null
  all: Customer[]
  done: () => void
}

function useSay({ build, now, done }: Choosing) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const say = (customer: string | null) => {
    sayWhose(build, customer, now?.id ?? null).then(
      () => {
        setTrouble(null)
        done()
      },
      (failure) => {
        const said = troubleOf(failure)
        setTrouble(said)
        if (said.code === 'changed_meanwhile') done()
      },
    )
  }
  return { trouble, say }
}

function Pick(choosing: Choosing & { add: () => void }) {
  const { now, all, add } = choosing
  const { trouble, say } = useSay(choosing)
  const send = (event: SubmitEvent) => {
    event.preventDefault()
    const said = new FormData(event.currentTarget as HTMLFormElement).get('customer')
    say(said ? String(said) : null)
  }
  return (
    <form class="stack" aria-label="Whose engine it is" onSubmit={send}>
      <div class="field pick-customer">
        <label for="whose">{now ? 'Another customer' : 'Whose engine it is'}</label>
        <div class="row">
          <select id="whose" name="customer" class="grow" key={now?.id ?? ''}>
            <option value="">Nobody said yet</option>
            {there(all).map((customer) => (
              <option key={customer.id} value={customer.id} selected={customer.id === now?.id}>
                {customerName(customer)}
              </option>
            ))}
          </select>
          <button type="submit" class="button">
            Say so
          </button>
          <button type="button" class="button" onClick={add}>
            Add a customer
          </button>
        </div>
      </div>
      <TroubleLine trouble={trouble} />
    </form>
  )
}

/** Choosing one who is known, or adding one, who is then the engine's. */
function Choose(choosing: Choosing) {
  const [adding, setAdding] = useState(false)
  const { trouble, say } = useSay(choosing)
  if (!adding)
    return (
      <>
        <TroubleLine trouble={trouble} />
        <Pick {...choosing} add={() => setAdding(true)} />
      </>
    )
  return (
    <CustomerForm
      customer={null}
      done={(kept) => {
        setAdding(false)
        if (kept) say(kept.id)
      }}
    />
  )
}

function Known({ build }: { build: string }) {
  const { list, trouble, find } = useCustomers()
  const now = list ? customerOf(build, list) : null
  return (
    <section class="stack customer" aria-label="Customer">
      <h2>Customer{now && `: ${customerName(now)}`}</h2>
      <TroubleLine trouble={trouble} />
      {now && <CustomerCard key={now.id} customer={now} changed={find} />}
      {list && (
        <details class="fold">
          <summary>{now ? 'It is another customer’s engine' : 'Say whose engine it is'}</summary>
          <Choose build={build} now={now} all={list} done={find} />
        </details>
      )}
    </section>
  )
}

/** Whose engine it is, for a lead; nobody else is shown that there is such a thing. */
export function CustomerSection({ build }: { build: string }) {
  const person = session.value?.person
  return person && leads(person) ? <Known key={build} build={build} /> : null
}
