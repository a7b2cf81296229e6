import { useEffect, useState } from 'preact/hooks'
import type { PhotoView } from '../brain/types.ts'
import { Picture, takenBy } from './Picture.tsx'
import { homeWords } from './photohome.ts'
import { Sheet } from './Sheet.tsx'
import { StrikeForm } from './StrikeForm.tsx'
import { photoStruck, session } from './seam.ts'
import { hand, isHand } from './spell.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'
import { enter } from './write.ts'

interface Props {
  build: string
  photo: PhotoView
  /** The place that it shows, in words. */
  placeWords: string | null
  /** How many there are, and which one this is, from 1. */
  of: number
  at: number
  move: (by: 1 | -1) => void
  close: () => void
}

/** Arrow keys walk through the pictures, but not out of a field. */
function useArrows(move: (by: 1 | -1) => void): void {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      const inField = event.target instanceof Element && event.target.closest('input') !== null
      if (inField) return
      if (event.key === 'ArrowRight') move(1)
      if (event.key === 'ArrowLeft') move(-1)
    }
    document.addEventListener('keydown', press)
    return () => document.removeEventListener('keydown', press)
  }, [move])
}

function Walk({ at, of, move }: Pick<Props, 'at' | 'of' | 'move'>) {
  if (of < 2) return null
  return (
    <div class="row">
      <button type="button" class="button plain grow" disabled={at === 1} onClick={() => move(-1)}>
        Picture before
      </button>
      <span>
        {at} of {of}
      </span>
      <button type="button" class="button plain grow" disabled={at === of} onClick={() => move(1)}>
        Picture after
      </button>
    </div>
  )
}

/** Whoever took it, or a lead who is signed in here. */
function striker(photo: PhotoView): string | null {
  const lead = session.value?.person?.id
  if (lead) return lead
  return isHand(photo.person) ? (hand.value ?? null) : null
}

function Strike({ build, photo, close }: Pick<Props, 'build' | 'photo' | 'close'>) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const person = striker(photo)
  if (photo.struck !== null || person === null) return null
  const strike = (reason: string) => {
    const body = { v: 1, target: photo.entry, reason }
    const { step, place } = photo
    enter({ build, kind: 'struck_out', step, place, why: null, body }, person)
      .then(() => photoStruck(photo.sha256))
      .then(close)
      .catch((failure) => setTrouble(troubleOf(failure)))
  }
  return (
    <>
      <TroubleLine trouble={trouble} />
      <details class="fold">
        <summary>Strike it out</summary>
        <StrikeForm strike={strike} />
      </details>
    </>
  )
}

/** The picture large, with who took it, when, of what and where it is; struck out with a reason, never gone. */
export function PictureSheet(props: Props) {
  const { build, photo, placeWords, close, move } = props
  useArrows(move)
  useEffect(() => {
    // Struck out at the desk, perhaps; a phone that cannot note it now does so the next time.
    if (photo.struck !== null) photoStruck(photo.sha256).catch(() => undefined)
  }, [photo.struck, photo.sha256])
  const home = homeWords(photo.sha256)
  return (
    <Sheet title={photo.caption || placeWords || 'Picture'} close={close}>
      <div class={photo.struck === null ? 'picture-large' : 'picture-large struck'}>
        <Picture key={photo.entry} photo={photo} small={false} />
      </div>
      <p>
        {takenBy(photo)}
        {home && <span class="soft">, {home}</span>}
      </p>
      {photo.struck && <p class="ink-reason">{photo.struck}</p>}
      <Walk {...props} />
      <Strike key={photo.entry} build={build} photo={photo} close={close} />
    </Sheet>
  )
}
