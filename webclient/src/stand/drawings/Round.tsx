import type { PlaceView } from '../../brain/types.ts'

const LEAN: [RegExp, number][] = [
  [/upright/i, 0],
  [/leaning left/i, -60],
  [/leaning right/i, 60],
]

/** A round hole with a parting line: housings and bearings, by the words of the diameter. */
export function looksRound(place: PlaceView): boolean {
  return LEAN.some(([words]) => words.test(place.words))
}

/** The hole from the front, its parting line, and the diameter that the gauge goes across. */
export function Round({ place }: { place: PlaceView }) {
  const turn = LEAN.find(([words]) => words.test(place.words))?.[1] ?? 0
  return (
    <svg class="drawing-spot" viewBox="0 0 120 120" aria-hidden="true">
      <path d="M8 60h16M96 60h16" class="draw-line" />
      <path d="M14 16h92v88H14z" class="draw-line" />
      <circle cx="60" cy="60" r="36" class="draw-line" />
      <g transform={`rotate(${turn} 60 60)`}>
        <path d="M60 26v68M54 34l6-9 6 9M54 86l6 9 6-9" class="draw-lit" />
      </g>
    </svg>
  )
}
