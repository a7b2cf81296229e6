/** Customers in words, and their data as a form has them. */
import type { Customer, CustomerFields, Erased } from '../parts/seam.ts'
import { moment } from '../parts/when.ts'

export const NOTHING: CustomerFields = { name: '', phone: '', email: '', address: '', note: '' }

/** The fields of a customer; an erased or a new one has none. */
export function fieldsOf(customer: Customer | null): CustomerFields {
  if (!customer) return NOTHING
  const { name, phone, email, address, note } = customer
  return {
    name: name ?? '',
    phone: phone ?? '',
    email: email ?? '',
    address: address ?? '',
    note: note ?? '',
  }
}

/** Fields as they were left half typed; `usual` where nothing was. */
export function readFields(kept: string, usual: CustomerFields): CustomerFields {
  try {
    const found = JSON.parse(kept) as Partial<CustomerFields>
    return { ...usual, ...found }
  } catch {
    return usual
  }
}

export function customerName(customer: Customer): string {
  if (customer.name !== null) return customer.name
  return `Erased ${moment(customer.erased_at ?? '')}`
}

/** The customer of a build; null where none is said. */
export function customerOf(build: string, all: Customer[]): Customer | null {
  return all.find(({ builds }) => builds.includes(build)) ?? null
}

/** Those that an engine can be given to. */
export function there(all: Customer[]): Customer[] {
  return all.filter(({ erased_at }) => erased_at === null)
}

/** What is left of an erased customer, and where, each a sentence. */
export function leftWords({ clean, copies }: Erased): string[] {
  const file = clean
    ? []
    : [
        'Traces may be left in the server’s own file, which could not be written anew just now. Erase once more when it is quiet.',
      ]
  const elsewhere =
    'Copies and exports that lie elsewhere hold the customer as well: look for them yourself.'
  if (copies.length === 0)
    return [...file, 'No backup of this server holds the customer.', elsewhere]
  return [
    ...file,
    'The backups below still hold the customer. They go by themselves as newer ones take their place, or at once by the command that stands below them.',
    elsewhere,
  ]
}

export function copyWords({ name, made_at, sure }: Erased['copies'][number]): string {
  return `${name}, of ${moment(made_at)}${sure ? '' : ' (cannot be read, so it may)'}`
}
