import { useRef, useState } from 'preact/hooks'
import { counted } from './counted.ts'
import { importFile, syncNow } from './seam.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'

async function takeIn(file: File): Promise<string> {
  const { entries, photos, already } = await importFile(file)
  void syncNow()
  const was = already ? ` ${already} were here already.` : ''
  return `${counted(entries, photos)} taken in; they go to the shop from here.${was}`
}

/** Takes in the file of a phone that does not reach the shop. */
export function TakeInFile() {
  const picker = useRef<HTMLInputElement>(null)
  const [told, setTold] = useState('')
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const chosen = (event: Event) => {
    const input = event.currentTarget as HTMLInputElement
    const file = input.files?.[0]
    setTrouble(null)
    if (file) takeIn(file).then(setTold, (failure) => setTrouble(troubleOf(failure)))
    input.value = ''
  }
  return (
    <>
      <button type="button" class="button wide" onClick={() => picker.current?.click()}>
        Take in a phone’s file
      </button>
      <input
        ref={picker}
        type="file"
        accept=".json,application/json"
        hidden
        aria-label="File with unsent entries"
        onChange={chosen}
      />
      <p role="status">{told}</p>
      <TroubleLine trouble={trouble} />
    </>
  )
}
