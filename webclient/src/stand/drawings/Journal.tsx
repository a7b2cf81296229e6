import type { PlaceView } from '../../brain/types.ts'

/** A journal, by the words of its places: an end of it, and a direction against the throw. */
export function looksLikeJournal(place: PlaceView): boolean {
  return /the throw/i.test(place.words)
}

/** The journal from the side with the lit end, and from its end with the direction of the anvils. */
export function Journal({ place }: { place: PlaceView }) {
  const rear = /rear/i.test(place.words)
  const turn = /across/i.test(place.words) ? 90 : 0
  const x = rear ? 66 : 34
  return (
    <svg class="drawing-spot wide" viewBox="0 0 200 120" aria-hidden="true">
      <path d="M8 20h14v80H8zM78 20h14v80H78z" class="draw-line" />
      <path d="M22 38h56v44H22z" class="draw-line" />
      <path d={`M${x} 26v68M${x - 6} 30h12M${x - 6} 90h12`} class="draw-lit" />
      <circle cx="148" cy="74" r="34" class="draw-line" />
      <circle cx="148" cy="24" r="12" class="draw-line" />
      <path d="M148 40V24" class="draw-line" />
      <g transform={`rotate(${turn} 148 74)`}>
        <path d="M148 42v64M142 50l6-9 6 9M142 98l6 9 6-9" class="draw-lit" />
      </g>
    </svg>
  )
}
