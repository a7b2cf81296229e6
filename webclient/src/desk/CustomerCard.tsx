import { useState } from 'preact/hooks'
import type { Customer, Erased } from '../parts/seam.ts'
import { Facts } from './CustomerFacts.tsx'
import { CustomerForm } from './CustomerForm.tsx'
import { EraseCustomer, ErasedWords } from './EraseCustomer.tsx'

interface Props {
  customer: Customer
  /** Something of the customer has changed. */
  changed: () => void
}

/** One customer's data, with the ways to change and to erase them. */
export function CustomerCard({ customer, changed }: Props) {
  const [changing, setChanging] = useState(false)
  const [erased, setErased] = useState<Erased | null>(null)
  if (erased) return <ErasedWords id={customer.id} erased={erased} />
  if (customer.erased_at !== null)
    return <p class="soft">Who it was is in the book no more; the engines stay.</p>
  if (changing)
    return (
      <CustomerForm
        customer={customer}
        anew={changed}
        done={(kept) => {
          setChanging(false)
          if (kept) changed()
        }}
      />
    )
  return (
    <>
      <Facts customer={customer} />
      <div class="row">
        <button type="button" class="button" onClick={() => setChanging(true)}>
          Change
        </button>
        <EraseCustomer
          customer={customer}
          done={(done) => {
            setErased(done)
            changed()
          }}
        />
      </div>
    </>
  )
}
