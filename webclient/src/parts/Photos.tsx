import { useEffect, useState } from 'preact/hooks'
import type { PhotoView } from '../brain/types.ts'
import { Picture } from './Picture.tsx'
import { PictureSheet } from './PictureSheet.tsx'
import { homeWords, lookForHomes } from './photohome.ts'
import { strip } from './seam.ts'

/** How many are shown at once: a phone draws no five hundred. */
const PAGE = 24

interface Props {
  build: string
  photos?: PhotoView[]
  /** Words of a place, where pictures of several places lie side by side. */
  placeWords?: (place: string) => string | null
}

function Thumb({
  photo,
  words,
  open,
}: {
  photo: PhotoView
  words: string | null
  open: () => void
}) {
  const home = photo.struck === null ? homeWords(photo.sha256) : 'struck out'
  const about = [words, home].filter(Boolean).join(', ')
  return (
    <li class="picture-item">
      <button type="button" class={photo.struck ? 'picture struck' : 'picture'} onClick={open}>
        {photo.struck && <span class="unseen">Struck out: </span>}
        <Picture photo={photo} small={true} />
      </button>
      {about && <p class="small">{about}</p>}
    </li>
  )
}

function More({ left, more }: { left: number; more: () => void }) {
  if (left <= 0) return null
  return (
    <button type="button" class="button wide" onClick={more}>
      Show {Math.min(left, PAGE)} more of {left}
    </button>
  )
}

/** Pictures small, the newest first; each opens large. One that is struck out stays, crossed. */
export function PhotoList({ build, photos = [], placeWords }: Props) {
  const [open, setOpen] = useState<string | null>(null)
  const [shown, setShown] = useState(PAGE)
  useEffect(lookForHomes, [photos, strip.value.photos])
  if (photos.length === 0) return null
  const list = [...photos].reverse()
  const wordsOf = ({ place }: PhotoView) => (place && placeWords?.(place)) || null
  const at = list.findIndex(({ entry }) => entry === open)
  const large = list[at]
  const move = (by: 1 | -1) => {
    const next = list[at + by]
    if (next) setOpen(next.entry)
  }
  return (
    <>
      <ul class="pictures">
        {list.slice(0, shown).map((photo) => (
          <Thumb
            key={photo.entry}
            photo={photo}
            words={wordsOf(photo)}
            open={() => setOpen(photo.entry)}
          />
        ))}
      </ul>
      <More left={list.length - shown} more={() => setShown(shown + PAGE)} />
      {large && (
        <PictureSheet
          build={build}
          photo={large}
          placeWords={wordsOf(large)}
          of={list.length}
          at={at + 1}
          move={move}
          close={() => setOpen(null)}
        />
      )}
    </>
  )
}
