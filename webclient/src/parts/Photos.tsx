import { useEffect, useState } from 'preact/hooks'
import type { PhotoView } from '../brain/types.ts'
import { Sheet } from './Sheet.tsx'
import { StrikeForm } from './StrikeForm.tsx'
import { photoUrl } from './seam.ts'
import { hand, isHand, nameOf } from './spell.ts'
import { TroubleLine } from './TroubleLine.tsx'
import { type Trouble, troubleOf } from './trouble.ts'
import { moment } from './when.ts'
import { enter } from './write.ts'

/** Undefined: looked for. Null: neither here nor in reach. */
function usePicture(sha256: string, small: boolean): string | null | undefined {
  const [address, setAddress] = useState<string | null>()
  useEffect(() => {
    let wanted = true
    photoUrl(sha256, small).then(
      (found) => wanted && setAddress(found),
      () => wanted && setAddress(null),
    )
    return () => {
      wanted = false
    }
  }, [sha256, small])
  return address
}

function captionOf(photo: PhotoView): string {
  return photo.caption || `Picture by ${nameOf(photo.person)}, ${moment(photo.made_at)}`
}

function Picture({ photo, small }: { photo: PhotoView; small: boolean }) {
  const address = usePicture(photo.sha256, small)
  const { width, height } = photo
  if (address)
    return (
      <img src={address} width={width} height={height} alt={captionOf(photo)} decoding="async" />
    )
  const words =
    address === null ? 'Not on this device, and the shop is out of reach.' : 'Looking for it …'
  return <span class="picture-away small">{words}</span>
}

/** The picture large, with who took it and when; struck out with a reason, never gone. */
function PictureSheet({
  build,
  photo,
  close,
}: {
  build: string
  photo: PhotoView
  close: () => void
}) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const strike = (reason: string) => {
    const body = { v: 1, target: photo.entry, reason }
    const { step, place } = photo
    enter({ build, kind: 'struck_out', step, place, why: null, body }, hand.value)
      .then(close)
      .catch((failure) => setTrouble(troubleOf(failure)))
  }
  return (
    <Sheet title={photo.caption || 'Picture'} close={close}>
      <div class="picture-large">
        <Picture photo={photo} small={false} />
      </div>
      <p>
        {nameOf(photo.person)}, {moment(photo.made_at)}
      </p>
      {photo.struck && <p class="ink-reason">{photo.struck}</p>}
      <TroubleLine trouble={trouble} />
      {photo.struck === null && isHand(photo.person) && (
        <details class="fold">
          <summary>Strike it out</summary>
          <StrikeForm strike={strike} />
        </details>
      )}
    </Sheet>
  )
}

/** Pictures small, each opens large. One that is struck out stays, crossed. */
export function PhotoList({ build, photos = [] }: { build: string; photos?: PhotoView[] }) {
  const [open, setOpen] = useState<string | null>(null)
  const shown = photos.find(({ entry }) => entry === open)
  if (photos.length === 0) return null
  return (
    <>
      <ul class="pictures">
        {photos.map((photo) => (
          <li key={photo.entry}>
            <button
              type="button"
              class={photo.struck ? 'picture struck' : 'picture'}
              onClick={() => setOpen(photo.entry)}
            >
              {photo.struck && <span class="unseen">Struck out: </span>}
              <Picture photo={photo} small={true} />
            </button>
          </li>
        ))}
      </ul>
      {shown && <PictureSheet build={build} photo={shown} close={() => setOpen(null)} />}
    </>
  )
}
