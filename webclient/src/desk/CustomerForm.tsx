import { useState } from 'preact/hooks'
import { type Customer, type CustomerFields, keepCustomer } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { useWords } from '../parts/words.ts'
import { Facts } from './CustomerFacts.tsx'
import { fieldsOf, readFields } from './customerwords.ts'

const LABELS: [keyof CustomerFields, string, string, number][] = [
  ['name', 'Name', 'text', 120],
  ['phone', 'Phone', 'tel', 60],
  ['email', 'Email', 'email', 200],
  ['address', 'Address', 'text', 400],
]

interface Typing {
  id: string
  fields: CustomerFields
  type: (name: keyof CustomerFields, text: string) => void
}

function Lines({ id, fields, type }: Typing) {
  return (
    <div class="spec-form">
      {LABELS.map(([name, label, kind, most]) => (
        <div class="field" key={name}>
          <label for={`${id}-${name}`}>{label}</label>
          <input
            id={`${id}-${name}`}
            type={kind === 'email' ? 'text' : kind}
            inputMode={kind === 'email' ? 'email' : undefined}
            maxLength={most}
            autocomplete="off"
            value={fields[name]}
            onInput={(event) => type(name, event.currentTarget.value)}
          />
        </div>
      ))}
    </div>
  )
}

function Note({ id, fields, type }: Typing) {
  return (
    <div class="field">
      <label for={`${id}-note`}>Note</label>
      <textarea
        id={`${id}-note`}
        maxLength={2000}
        value={fields.note}
        onInput={(event) => type('note', event.currentTarget.value)}
      />
    </div>
  )
}

/** What is half typed is a draft of this browser until it is kept or left. */
function useFields(customer: Customer | null) {
  const words = useWords(`customer/${customer?.id ?? 'new'}`)
  const fields = readFields(words.text, fieldsOf(customer))
  const type = (name: keyof CustomerFields, text: string) =>
    words.type(JSON.stringify({ ...fields, [name]: text }))
  return { fields, type, drop: words.drop }
}

interface Props {
  /** Null: a new one. */
  customer: Customer | null
  done: (kept: Customer | null) => void
  /** Asks for the customer as he stands now: somebody has changed him meanwhile. */
  anew?: () => void
}

const MEANWHILE = {
  code: 'changed_meanwhile',
  message:
    'Somebody else changed this customer meanwhile: what stands now is above. What you typed is still here; keep it once more if it still holds.',
}

/** Who a customer is: added, or written anew. */
export function CustomerForm({ customer, done, anew }: Props) {
  const { fields, type, drop } = useFields(customer)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const id = `customer-${customer?.id ?? 'new'}`
  const send = (event: Event) => {
    event.preventDefault()
    if (fields.name.trim() === '') {
      setTrouble({ code: 'name', message: 'A customer wants a name: type it in.' })
      return
    }
    keepCustomer(fields, customer).then(
      (kept) => {
        drop()
        done(kept)
      },
      (failure) => {
        const said = troubleOf(failure)
        const stale = said.code === 'changed_meanwhile'
        setTrouble(stale ? MEANWHILE : said)
        if (stale) anew?.()
      },
    )
  }
  const leave = () => {
    drop()
    done(null)
  }
  const words = customer ? 'Change the customer' : 'Add a customer'
  return (
    <form class="stack" aria-label={words} onSubmit={send} noValidate>
      {trouble?.code === MEANWHILE.code && customer && <Facts customer={customer} />}
      <Lines id={id} fields={fields} type={type} />
      <Note id={id} fields={fields} type={type} />
      <TroubleLine trouble={trouble} />
      <div class="row">
        <button type="submit" class="button main">
          {customer ? 'Keep the change' : 'Add the customer'}
        </button>
        <button type="button" class="button plain" onClick={leave}>
          Leave it
        </button>
      </div>
    </form>
  )
}
