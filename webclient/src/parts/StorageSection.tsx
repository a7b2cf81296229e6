import { useEffect, useRef, useState } from 'preact/hooks'
import { exportUnsent, importFile, strip, syncNow } from './seam.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'

function megabytes(bytes: number): string {
  if (bytes < 1e9) return `${Math.max(1, Math.round(bytes / 1e6))} MB`
  return `${(bytes / 1e9).toFixed(1)} GB`
}

function useRoom(): string | null {
  const [words, setWords] = useState<string | null>(null)
  useEffect(() => {
    navigator.storage?.estimate?.().then(({ usage, quota }) => {
      if (usage !== undefined && quota) setWords(`${megabytes(usage)} of ${megabytes(quota)}`)
    }, console.warn)
  }, [])
  return words
}

const SAFETY = new Map([
  [true, 'This browser keeps the book even when space runs out.'],
  [
    false,
    'This browser may clear the book when space runs out. Install the app or bookmark it, and sync before you leave it for days.',
  ],
])

function save(name: string, file: Blob): void {
  const link = document.createElement('a')
  const address = URL.createObjectURL(file)
  Object.assign(link, { href: address, download: name })
  link.click()
  setTimeout(() => URL.revokeObjectURL(address), 60_000)
}

function counted(entries: number, photos: number): string {
  const words = entries === 1 ? '1 entry' : `${entries} entries`
  if (photos === 0) return words
  return `${words} and ${photos === 1 ? '1 picture' : `${photos} pictures`}`
}

async function writeFile(): Promise<string> {
  const { name, file, entries, photos } = await exportUnsent()
  if (entries + photos === 0) return 'Nothing here is unsent.'
  save(name, file)
  return `${counted(entries, photos)} written to ${name}. They stay here as well.`
}

async function readFile(file: File): Promise<string> {
  const { entries, photos, already } = await importFile(file)
  void syncNow()
  const was = already ? ` ${already} were here already.` : ''
  return `${counted(entries, photos)} taken in; they go to the shop from here.${was}`
}

/** How safe the book is on this device, and the way out for a phone that will not reach the shop: a file. */
export function StorageSection() {
  const room = useRoom()
  const picker = useRef<HTMLInputElement>(null)
  const [told, setTold] = useState('')
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const run = (work: () => Promise<string>) => {
    setTrouble(null)
    work().then(setTold, (failure) => setTrouble(troubleOf(failure)))
  }
  const chosen = (event: Event) => {
    const input = event.currentTarget as HTMLInputElement
    const file = input.files?.[0]
    if (file) run(() => readFile(file))
    input.value = ''
  }
  const safety = strip.value.persisted === null ? undefined : SAFETY.get(strip.value.persisted)
  return (
    <section class="stack" aria-label="Storage of this device">
      <h3>Storage of this device</h3>
      {safety && <p>{safety}</p>}
      {room && <p class="soft">Used: {room}.</p>}
      <button type="button" class="button wide" onClick={() => run(writeFile)}>
        Write what is unsent to a file
      </button>
      <button type="button" class="button wide" onClick={() => picker.current?.click()}>
        Take in such a file
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
    </section>
  )
}
