/** One thing that is asked of the shop: under way, done, or why not. */
import { useState } from 'preact/hooks'
import { type Trouble, troubleOf } from '../parts/trouble.ts'

export interface Doing {
  busy: boolean
  told: string
  trouble: Trouble | null
  run: (work: () => Promise<unknown>, told: string, after?: () => void) => void
}

export function useDoing(): Doing {
  const [busy, setBusy] = useState(false)
  const [told, setTold] = useState('')
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const run: Doing['run'] = (work, words, after) => {
    if (busy) return
    setBusy(true)
    setTold('')
    setTrouble(null)
    work()
      .then(() => {
        setTold(words)
        after?.()
      })
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  return { busy, told, trouble, run }
}
