/** Customers, for the desk alone: asked for when a screen shows them and kept nowhere on this device. */
import { NoContact } from './failure.ts'
import { request } from './http.ts'

/** What tells who a customer is; an empty field is none. */
export interface CustomerFields {
  name: string
  phone: string
  email: string
  address: string
  note: string
}

/** Of one who was erased only id, times and builds are left. */
export type Customer = { [field in keyof CustomerFields]: string | null } & {
  id: string
  erased_at: string | null
  builds: string[]
  /** What a change is made on: the shop refuses it where somebody has changed it meanwhile. */
  version: string
}

/** `clean`: nothing is left in the server's own file. `copies`: older backups that still hold the customer. */
export interface Erased {
  erased_at: string
  clean: boolean
  copies: { name: string; made_at: string; sure: boolean }[]
}

function known<T>(body: T | null, field: keyof T): T {
  if (body?.[field] === undefined) throw new NoContact('not_the_shop')
  return body
}

export async function customers(): Promise<Customer[]> {
  const { body } = await request<{ customers: Customer[] }>('/customers')
  return known(body, 'customers').customers
}

type Looked = Pick<Customer, 'id' | 'version'>

/** Adds a customer, or writes one anew as it was looked at. */
export async function keepCustomer(
  fields: CustomerFields,
  old: Looked | null = null,
): Promise<Customer> {
  const path = old ? `/customers/${encodeURIComponent(old.id)}` : '/customers'
  const how = old
    ? ({ method: 'PUT', match: `"${old.version}"` } as const)
    : ({ method: 'POST' } as const)
  return known((await request<Customer>(path, { ...how, body: fields })).body, 'id')
}

/** Whose engine a build is, and whose it was when it was looked at; null: nobody's yet. */
export async function sayWhose(
  build: string,
  customer: string | null,
  was: string | null,
): Promise<void> {
  const path = `/builds/${encodeURIComponent(build)}/customer`
  await request(path, { method: 'PUT', match: `"${was ?? 'nobody'}"`, body: { customer } })
}

export async function eraseCustomer(id: string, reason: string): Promise<Erased> {
  const path = `/customers/${encodeURIComponent(id)}/erase`
  const { body } = await request<Erased>(path, { method: 'POST', body: { reason } })
  return known(body, 'erased_at')
}
