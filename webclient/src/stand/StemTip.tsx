import type { Across, GoCard } from '../brain/types.ts'

type Tip = NonNullable<GoCard['tip']>

const SIDE = 280
const MIDDLE = SIDE / 2

/** A band across the stem; the shares come from the brain, this only draws them. */
function Band({ at, name }: { at: Across; name: string }) {
  if (!at) return null
  const [from, to] = at
  return (
    <rect
      class={name}
      x={from * SIDE}
      width={Math.max((to - from) * SIDE, 1)}
      y="0"
      height={SIDE}
      clip-path="url(#stem-tip)"
    />
  )
}

function Margin({ at }: { at: Across }) {
  if (!at) return null
  const [from, to] = [at[0] * SIDE, at[1] * SIDE]
  const low = MIDDLE + 1
  return (
    <path
      class="tip-margin"
      d={`M${from} ${low}H${to}M${from} ${low - 9}v18M${to} ${low - 9}v18`}
    />
  )
}

/** The end of the valve stem as the eye looks on it, the pivot on the left: mark, its margin, the mark to come. */
export function StemTip({ tip }: { tip: Tip }) {
  const flat = tip.flat ? ((tip.flat[1] - tip.flat[0]) / 2) * SIDE : MIDDLE
  return (
    <figure class="tip">
      <svg
        viewBox={`-2 -2 ${SIDE + 4} ${SIDE + 4}`}
        role="img"
        aria-label="The valve stem's tip, with its mark"
      >
        <clipPath id="stem-tip">
          <circle cx={MIDDLE} cy={MIDDLE} r={MIDDLE} />
        </clipPath>
        <circle class="tip-stem" cx={MIDDLE} cy={MIDDLE} r={MIDDLE} />
        <circle class="tip-flat" cx={MIDDLE} cy={MIDDLE} r={flat} />
        <path class="tip-centre" d={`M${MIDDLE} 0V${SIDE}`} />
        <Band at={tip.mark} name="tip-mark" />
        <Band at={tip.predicted} name="tip-halo" />
        <Band at={tip.predicted} name="tip-next" />
        <Margin at={tip.margin} />
      </svg>
      <figcaption>
        <p class="tip-ends">
          <span>pivot side</span>
          <span>{tip.stem_words}</span>
          <span>outboard</span>
        </p>
        <p>
          <span class="tip-key mark" /> Mark {tip.mark_words}
        </p>
        {tip.margin_words && (
          <p>
            <span class="tip-key gap" /> {tip.margin_words}
          </p>
        )}
        {tip.predicted_words && (
          <p>
            <span class="tip-key next" /> {tip.predicted_words}
          </p>
        )}
      </figcaption>
    </figure>
  )
}
