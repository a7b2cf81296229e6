import type { HoldSummary, State } from '../brain/types.ts'
import { Said } from './signs.tsx'

function signedBy({ signers }: HoldSummary): string {
  return signers
    .map(({ words, signed }) => (signed ? `${words}: ${signed.person}` : ''))
    .filter(Boolean)
    .join(', ')
}

/** Where work stops until two people have signed: each Hold with its state. */
export function HoldList({
  state,
  href,
}: {
  state: State
  href: (build: string, hold: string) => string
}) {
  const by = (hold: HoldSummary) => signedBy(hold)
  return (
    <section class="stage" aria-label="Hold points">
      <h2>Hold points</h2>
      <ul class="hold-list">
        {state.holds.map((hold) => (
          <li key={hold.id}>
            <a class="hold-link" href={href(state.build, hold.id)}>
              <span class="hold-name">{hold.name}</span>
              <Said name={hold.state} />
              {by(hold) && <span class="soft small">{by(hold)}</span>}
            </a>
          </li>
        ))}
      </ul>
    </section>
  )
}
