import type { ComponentChildren } from 'preact'
import type { StepView } from '../brain/types.ts'
import { FlagList } from '../parts/FlagLine.tsx'
import { to } from '../parts/router.ts'
import { Said } from '../parts/signs.tsx'
import { KeptLine } from './KeptLine.tsx'
import { More } from './More.tsx'
import type { Work } from './work.ts'

interface Props {
  view: StepView
  work: Work
  /** What a guided step wants done when its last place is set. */
  after?: string | null
  children?: ComponentChildren
}

/** Nothing wants the hand any more: what stands open is said, the table is the next thing. */
export function AllFilled({ view, work, after = null, children }: Props) {
  return (
    <main class="floor" id="main">
      <div class="page stack">
        <KeptLine capture={work.capture} view={view} />
        <h2>
          {view.filled < view.of
            ? `Gone through, ${view.of - view.filled} not set`
            : 'All places are filled'}
        </h2>
        {after !== null && <p class="after">{after}</p>}
        {children}
        <p class="row">
          <Said name={view.state} />
          <span>
            {view.filled} of {view.of}
          </span>
        </p>
        <FlagList flags={view.flags} label="Flags of this step" />
        <More view={view} />
      </div>
      <div class="dock">
        <a class="button main wide" href={to.step(view.build, view.id, 'table')}>
          {view.signed ? 'See the table' : 'See the table and sign'}
        </a>
      </div>
    </main>
  )
}
