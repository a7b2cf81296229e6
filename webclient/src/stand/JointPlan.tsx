import type { JointCard } from '../brain/types.ts'

type Plan = NonNullable<JointCard['plan']>

const MARKS = { done: '✓', wrong: '!', next: '', open: '' }

/** Of the field, the share that the fasteners lie over, and its width on the narrowest phone: px. */
const OVER = 0.88
const NARROWEST = 312
const [SMALLEST, LARGEST] = [13, 20]

/** How large a fastener can be drawn where it touches none of its row, and where many rows lie close: px. */
function radius(fasteners: Plan['fasteners']): number {
  const apart = fasteners.flatMap((one) =>
    fasteners.filter((other) => other.y === one.y && other.x > one.x).map(({ x }) => x - one.x),
  )
  const rows = new Set(fasteners.map(({ y }) => y)).size
  const room = Math.floor((Math.min(1, ...apart) * OVER * NARROWEST) / 2)
  return Math.min(rows > 3 ? 15 : LARGEST, Math.max(SMALLEST, room))
}

/** The fasteners as they lie, front to the left: done ones ticked, the next one filled, a wrong one marked. */
export function JointPlan({ plan, words }: { plan: Plan; words: string }) {
  const { fasteners, sides } = plan
  const done = fasteners.filter(({ state }) => state === 'done').length
  const next = fasteners.find(({ state }) => state === 'next')
  const r = radius(fasteners)
  const said = `${words}, front to the left: ${done} of ${fasteners.length} tight in this pass`
  return (
    <div class="joint-plan" role="img" aria-label={next ? `${said}, next ${next.words}` : said}>
      <p class="joint-sides">
        <strong>◀ Front</strong> <span>{sides[0]}</span>
      </p>
      <svg class="joint-field" aria-hidden="true">
        {fasteners.map(({ number, x, y, state }) => (
          <svg
            key={number}
            x={`${50 + 100 * OVER * (x - 0.5)}%`}
            y={`${15 + 70 * y}%`}
            class={`bolt ${state}`}
            overflow="visible"
            aria-hidden="true"
          >
            <circle r={state === 'next' && r === LARGEST ? r + 4 : r} />
            <text dy="6">{number}</text>
            {MARKS[state] && (
              <text class="bolt-mark" x={r - 2} y={8 - r}>
                {MARKS[state]}
              </text>
            )}
          </svg>
        ))}
      </svg>
      {sides[1] && <p class="joint-side">{sides[1]}</p>}
    </div>
  )
}
