import type { Customer } from '../parts/seam.ts'

/** What is known of a customer beside the name. */
export function Facts({ customer }: { customer: Customer }) {
  const rows: [string, string | null][] = [
    ['Phone', customer.phone],
    ['Email', customer.email],
    ['Address', customer.address],
    ['Note', customer.note],
  ]
  const said = rows.filter(([, value]) => value !== null)
  if (said.length === 0) return null
  return (
    <dl class="customer-facts">
      {said.map(([label, value]) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  )
}
