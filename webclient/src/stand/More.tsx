import type { StepView } from '../brain/types.ts'
import { CautionList } from '../parts/CautionList.tsx'

/** What the step is for, its standing cautions and its sources; folded, never a tap. */
export function More({ view }: { view: StepView }) {
  return (
    <details class="fold">
      <summary>More about this step</summary>
      <div class="stack">
        <p>{view.purpose}</p>
        <CautionList cautions={view.cautions} />
        <p>The part maker's instructions, local codes and licensed practice come first.</p>
        {view.sources.length > 0 && <p class="soft">Sources: {view.sources.join('; ')}.</p>}
      </div>
    </details>
  )
}
