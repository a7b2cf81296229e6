import type { JointCard } from '../brain/types.ts'

type Plan = NonNullable<JointCard['plan']>

const MARKS = { done: '✓', wrong: '!', next: '', open: '' }

/** How large a fastener can be drawn where the fullest row still shows each number: px. */
function radius(fasteners: Plan['fasteners']): number {
  const rows = new Map<number, number>()
  for (const { y } of fasteners) rows.set(y, (rows.get(y) ?? 0) + 1)
  const fullest = Math.max(...rows.values())
  return fullest > 8 || rows.size > 3 ? 15 : 20
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
            x={`${8 + 84 * x}%`}
            y={`${15 + 70 * y}%`}
            class={`bolt ${state}`}
            overflow="visible"
            aria-hidden="true"
          >
            <circle r={state === 'next' ? r + 4 : r} />
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
