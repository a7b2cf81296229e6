import { useState } from 'preact/hooks'
import { to } from '../parts/router.ts'
import { type Customer, engines } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { CustomerCard } from './CustomerCard.tsx'
import { CustomerForm } from './CustomerForm.tsx'
import { customerName } from './customerwords.ts'
import { useCustomers } from './useCustomers.ts'

function Engines({ builds }: { builds: string[] }) {
  const known = engines.value.filter(({ build }) => builds.includes(build))
  if (known.length === 0) return null
  return (
    <ul class="row" aria-label="Engines">
      {known.map(({ build, job, title }) => (
        <li key={build}>
          <a class="button plain" href={to.deskBuild(build)}>
            {job} {title}
          </a>
        </li>
      ))}
    </ul>
  )
}

function Row({ customer, changed }: { customer: Customer; changed: () => void }) {
  return (
    <li class="card stack">
      <h2>{customerName(customer)}</h2>
      <Engines builds={customer.builds} />
      <CustomerCard customer={customer} changed={changed} />
    </li>
  )
}

function Add({ added }: { added: () => void }) {
  const [open, setOpen] = useState(false)
  if (!open)
    return (
      <button type="button" class="button" onClick={() => setOpen(true)}>
        Add a customer
      </button>
    )
  return (
    <CustomerForm
      customer={null}
      done={(kept) => {
        setOpen(false)
        if (kept) added()
      }}
    />
  )
}

/** Every customer of the shop. They lie beside the book: nothing of them goes to a phone at the stand. */
export function Customers() {
  const { list, trouble, find } = useCustomers()
  return (
    <main class="desk-page stack" id="main">
      <h1>Customers</h1>
      <p class="soft">
        Kept beside the book and shown to leads alone; no phone at the stand has them. An engine is
        given to a customer on the engine’s own page.
      </p>
      <TroubleLine trouble={trouble} />
      <Add added={find} />
      {list?.length === 0 && <p>No customer is known yet.</p>}
      <ul class="cards" aria-label="Customers">
        {list?.map((customer) => (
          <Row key={customer.id} customer={customer} changed={find} />
        ))}
      </ul>
    </main>
  )
}
