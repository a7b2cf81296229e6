import { to } from '../parts/router.ts'
import { engines } from '../parts/seam.ts'
import { Said } from '../parts/signs.tsx'
import { holdsForLead } from './review.ts'

/** The Holds that wait for a lead, each a way to its page. */
export function HoldsWaiting() {
  const waiting = holdsForLead(engines.value)
  if (waiting.length === 0) return null
  return (
    <section class="stack" aria-label="Holds that want a lead">
      <h2>Holds that want a lead</h2>
      <ul class="hold-list">
        {waiting.map(({ state, hold }) => (
          <li key={`${state.build} ${hold.id}`}>
            <a class="hold-link" href={to.deskHold(state.build, hold.id)}>
              <span class="hold-name">{hold.name}</span>
              <Said name={hold.state} />
              <span class="soft small">
                {state.job} {state.title}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  )
}
