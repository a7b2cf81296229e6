import type { Guide, GuideValve } from '../brain/types.ts'

const MARKS: Record<GuideValve['state'], string> = {
  done: 'M7 12.5l3.5 3.5L17.5 8.5',
  next: 'M12 5v14M5 12h14',
  open: '',
  "couldn't": 'M7 7l10 10M17 7L7 17',
}

/** One valve head: filled when it is next, ticked when done, crossed when it could not be set. */
function Head({ valve, side }: { valve: GuideValve; side: string }) {
  return (
    <span class={`valve ${valve.state === "couldn't" ? 'not' : valve.state}`}>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <circle cx="12" cy="12" r="10.5" class="valve-head" />
        <path d={MARKS[valve.state]} class="valve-mark" />
        {valve.flag && <path d="M24 0v9L15 0z" class="valve-flag" />}
      </svg>
      <span class="valve-side" aria-hidden="true">
        {side}
      </span>
      <span class="unseen">
        {valve.words}: {valve.state}
        {valve.flag ? `, ${valve.flag}` : ''}
      </span>
    </span>
  )
}

/** The valves as they lie, a row for each bank, front first. */
export function ValvePlan({ guide }: { guide: Guide }) {
  return (
    <section class="plan" aria-label="Valves as they lie, front first">
      {guide.plan.map(({ bank, cylinders }) => (
        <div key={bank} class="plan-bank">
          <p class="plan-name">
            {bank} <span class="soft">front first</span>
          </p>
          <ol class="plan-row" style={{ '--of': cylinders.length }}>
            {cylinders.map(({ number, intake, exhaust }) => (
              <li key={number} class="plan-cylinder">
                <span class="plan-number">{number}</span>
                <span class="plan-valves">
                  <Head valve={intake} side="I" />
                  <Head valve={exhaust} side="E" />
                </span>
              </li>
            ))}
          </ol>
        </div>
      ))}
    </section>
  )
}
