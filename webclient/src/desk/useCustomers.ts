/** The shop's customers while a screen shows them. */
import { useEffect, useState } from 'preact/hooks'
import { type Customer, customers } from '../parts/seam.ts'
import { type Trouble, troubleOf } from '../parts/trouble.ts'

export interface Found {
  /** Null until the server has answered. */
  list: Customer[] | null
  trouble: Trouble | null
  /** Asks anew, after a change. */
  find: () => Promise<void>
}

export function useCustomers(): Found {
  const [list, setList] = useState<Customer[] | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const find = () =>
    customers().then(
      (found) => {
        setList(found)
        setTrouble(null)
      },
      (failure) => setTrouble(troubleOf(failure)),
    )
  useEffect(() => void find(), [])
  return { list, trouble, find }
}
