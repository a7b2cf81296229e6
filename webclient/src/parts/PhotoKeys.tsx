import { useRef, useState } from 'preact/hooks'
import { photoIntent, takePhoto } from './seam.ts'
import { hand, stillHere } from './spell.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'

interface Props {
  build: string
  step: string | null
  place: string | null
  /** Who takes it, where it is not the hand at the stand. */
  person?: string | undefined
}

/** Keeps pictures one after the other; the first trouble is told, and what was kept before it stays. */
async function keepAll(files: File[], { build, step, place, ...where }: Props): Promise<void> {
  const person = where.person ?? hand.value
  if (!person)
    throw Object.assign(new Error('Say first who is at the stand.'), { code: 'nobody_there' })
  for (const file of files) await takePhoto(file, { build, step, place, caption: '', person })
}

function useKeeping(where: Props) {
  const [busy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const keep = (input: HTMLInputElement) => {
    const files = [...(input.files ?? [])]
    // The same file may be chosen again.
    input.value = ''
    setBusy(true)
    setTrouble(null)
    keepAll(files, where)
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => {
        setBusy(false)
        stillHere()
        void photoIntent.drop()
      })
  }
  return { busy, trouble, keep }
}

/** Camera and gallery. A phone short of memory may end the page while its camera is open: it notes what for. */
export function PhotoKeys(where: Props) {
  const camera = useRef<HTMLInputElement>(null)
  const gallery = useRef<HTMLInputElement>(null)
  const { busy, trouble, keep } = useKeeping(where)
  const open = (input: HTMLInputElement | null) => {
    const { build, step, place, person } = where
    void photoIntent.save({ build, step, place, caption: '', person: person ?? hand.value ?? '' })
    input?.click()
  }
  const chosen = (event: Event) => keep(event.currentTarget as HTMLInputElement)
  const left = () => void photoIntent.drop()
  const common = { type: 'file', accept: 'image/*', hidden: true, onChange: chosen, onCancel: left }
  return (
    <div class="stack">
      <div class="two">
        <button type="button" class="button" disabled={busy} onClick={() => open(camera.current)}>
          Camera
        </button>
        <button type="button" class="button" disabled={busy} onClick={() => open(gallery.current)}>
          From the gallery
        </button>
      </div>
      <input ref={camera} {...common} capture="environment" aria-label="Take a picture" />
      <input ref={gallery} {...common} multiple aria-label="Choose pictures" />
      <p class="soft small" role="status">
        {busy ? 'Keeping the picture …' : ''}
      </p>
      <TroubleLine trouble={trouble} />
    </div>
  )
}
