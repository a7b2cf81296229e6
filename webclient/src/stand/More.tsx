import type { StepView } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'

/** What the step is for, its standing cautions and its sources; folded, never a tap. */
export function More({ view }: { view: StepView }) {
  return (
    <details class="fold">
      <summary>More about this step</summary>
      <div class="stack">
        <p>{view.purpose}</p>
        {view.cautions.length > 0 && (
          <ul class="stack" aria-label="Cautions">
            {view.cautions.map(({ id, line }) => (
              <li key={id} class="flag warn">
                <Sign name="WARN" /> <span>{line}</span>
              </li>
            ))}
          </ul>
        )}
        <p>The part maker's instructions, local codes and licensed practice come first.</p>
        {view.sources.length > 0 && <p class="soft">Sources: {view.sources.join('; ')}.</p>}
      </div>
    </details>
  )
}
