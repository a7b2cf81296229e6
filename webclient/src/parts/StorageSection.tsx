import { useEffect, useState } from 'preact/hooks'
import { counted } from './counted.ts'
import { DeviceName } from './DeviceName.tsx'
import { exportUnsent, strip } from './seam.ts'
import { TakeInFile } from './TakeInFile.tsx'
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

async function writeFile(): Promise<string> {
  const { name, file, entries, photos } = await exportUnsent()
  if (entries + photos === 0) return 'Nothing here is unsent.'
  save(name, file)
  return `${counted(entries, photos)} written to ${name}. They stay here as well.`
}

/** The way out for a phone that will not reach the shop: a file for another phone or the desk. */
function WriteFile() {
  const [told, setTold] = useState('')
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const write = () => {
    setTrouble(null)
    writeFile().then(setTold, (failure) => setTrouble(troubleOf(failure)))
  }
  return (
    <>
      <button type="button" class="button wide" onClick={write}>
        Write what is unsent to a file
      </button>
      <p role="status">{told}</p>
      <TroubleLine trouble={trouble} />
    </>
  )
}

/** How safe the book is on this device, what the shop calls it, and files from device to device. */
export function StorageSection() {
  const room = useRoom()
  const safety = strip.value.persisted === null ? undefined : SAFETY.get(strip.value.persisted)
  return (
    <section class="stack" aria-label="This device">
      <h3>This device</h3>
      {safety && <p>{safety}</p>}
      {room && <p class="soft">Used: {room}.</p>}
      <DeviceName />
      <h3>When it does not reach the shop</h3>
      <p>
        Write a file here, carry it to another phone or to the desk, and take it in there. Nothing
        is entered twice.
      </p>
      <WriteFile />
      <TakeInFile />
    </section>
  )
}
