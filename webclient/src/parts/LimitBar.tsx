/**
 * A limit for the eye: the band between its ends, and a mark where the value lies.
 *
 * Outside the band the bar is hatched, and the mark changes its shape there, so that neither needs colour.
 */
import type { Bar, LimitView } from '../brain/types.ts'

const WIDTH = 320
const at = (share: number) => Math.round(Math.min(1, Math.max(0, share)) * (WIDTH - 20)) + 10

function Mark({ share, outside }: { share: number; outside: boolean }) {
  const x = at(share)
  const shape = outside ? `M${x - 7} 1l14 14M${x + 7} 1L${x - 7} 15` : `M${x} 17l-8 -14h16z`
  return <path d={shape} class={outside ? 'bar-mark outside' : 'bar-mark'} />
}

function isOutside(bar: Bar): boolean {
  if (bar.value === null) return false
  return (bar.low !== null && bar.value < bar.low) || (bar.high !== null && bar.value > bar.high)
}

/** The drawing alone; the words beside it say the same. */
export function LimitBar({ limit }: { limit: LimitView }) {
  const { bar } = limit
  const low = bar.low === null ? 0 : at(bar.low)
  const high = bar.high === null ? WIDTH : at(bar.high)
  return (
    <svg
      class="limit-bar"
      viewBox={`0 0 ${WIDTH} 28`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <rect x="0" y="17" width={WIDTH} height="9" class="bar-outside" />
      <rect x={low} y="17" width={Math.max(0, high - low)} height="9" class="bar-inside" />
      {bar.low !== null && <path d={`M${low} 12v16`} class="bar-end" />}
      {bar.high !== null && <path d={`M${high} 12v16`} class="bar-end" />}
      {bar.value !== null && <Mark share={bar.value} outside={isOutside(bar)} />}
    </svg>
  )
}
