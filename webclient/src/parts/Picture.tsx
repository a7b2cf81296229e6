import { useEffect, useState } from 'preact/hooks'
import type { PhotoView } from '../brain/types.ts'
import { photoUrl } from './seam.ts'
import { nameOf } from './spell.ts'
import { moment } from './when.ts'

/** An address may be given up for newer pictures before its picture was drawn: it is asked for once more. */
const MOST_TRIES = 2

/** Undefined: looked for. Null: neither here nor in reach. */
function useAddress(sha256: string, small: boolean) {
  const [address, setAddress] = useState<string | null>()
  const [tries, setTries] = useState(1)
  useEffect(() => {
    let wanted = true
    photoUrl(sha256, small).then(
      (found) => wanted && setAddress(found),
      () => wanted && setAddress(null),
    )
    return () => {
      wanted = false
    }
  }, [sha256, small, tries])
  const again = () => (tries < MOST_TRIES ? setTries(tries + 1) : setAddress(null))
  return { address, again }
}

/** "Jonas K., 24 Nov, 09:14". */
export function takenBy({ person, made_at }: PhotoView): string {
  return `${nameOf(person)}, ${moment(made_at)}`
}

/** The picture itself, or why it is not to be seen. */
export function Picture({ photo, small }: { photo: PhotoView; small: boolean }) {
  const { address, again } = useAddress(photo.sha256, small)
  const { width, height } = photo
  const words = photo.caption || `Picture by ${takenBy(photo)}`
  if (address) {
    const size = { width, height, decoding: 'async' } as const
    return <img src={address} alt={words} {...size} onError={again} />
  }
  const away =
    address === null
      ? 'Not on this device. The shop does not have it yet, or is out of reach.'
      : 'Looking for it …'
  return <span class="picture-away small">{away}</span>
}
