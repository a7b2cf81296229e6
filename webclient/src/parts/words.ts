/** Half-typed words, such as a reason: a draft on the disk at every change, like half a number. */
import { useEffect, useState } from 'preact/hooks'
import { readWords, writeWords } from './halfwords.ts'
import { draft, trouble } from './seam.ts'

export interface Words {
  /** The draft's key: an entry that makes the words good ends it. */
  key: string
  text: string
  type: (text: string) => void
  /** The words were made good, or are not wanted any more. */
  drop: () => void
}

function save(key: string, text: string): Promise<void> {
  return text === '' ? draft.drop(key) : draft.save(key, writeWords(text))
}

function complain(failure: Error): void {
  trouble.value = failure
}

/** Words as they were left under `key`; what is typed before they are read stays. */
export function useWords(name: string): Words {
  const key = `words/${name}`
  const [text, setText] = useState('')
  useEffect(() => {
    let wanted = true
    setText('')
    const show = (kept: string | null) =>
      wanted && setText((now) => (now === '' ? readWords(kept) : now))
    draft.load(key).then(show, complain)
    return () => {
      wanted = false
    }
  }, [key])
  const type = (next: string) => {
    setText(next)
    save(key, next).catch(complain)
  }
  return { key, text, type, drop: () => type('') }
}
