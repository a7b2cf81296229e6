import type { JointCard } from '../brain/types.ts'

type Plan = NonNullable<JointCard['plan']>

const MARKS = { done: '✓', wrong: '!', next: '', open: '' }

/** The fasteners as they lie, front to the left: done ones ticked, the next one filled, a wrong one marked. */
export function JointPlan({ plan, words }: { plan: Plan; words: string }) {
  const { fasteners, sides } = plan
  const done = fasteners.filter(({ state }) => state === 'done').length
  const next = fasteners.find(({ state }) => state === 'next')
  const r = new Set(fasteners.map(({ y }) => y)).size > 3 ? 15 : 20
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
