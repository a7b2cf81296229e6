import type { StepView } from '../brain/types.ts'
import { FlagList } from '../parts/FlagLine.tsx'
import { PhotoKeys } from '../parts/PhotoKeys.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { placeWordsOf } from '../parts/placewords.ts'
import { go, to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { StepTable } from '../parts/StepTable.tsx'
import { Said } from '../parts/signs.tsx'
import { More } from './More.tsx'
import { SignPanel } from './SignPanel.tsx'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  job: string
}

function toSignature(): void {
  const field = document.getElementById('sign-note')
  field?.scrollIntoView({ block: 'center' })
  field?.focus({ preventScroll: true })
}

/** The whole step on one page: every place, value, verdict and limit with its source; a tap leads to its place. */
export function TablePage({ work, view, job }: Props) {
  const pad = to.step(view.build, view.id)
  const open = (place: string) => {
    work.byHand.value = view.style === 'joint'
    void work.goTo(place).then(() => go(pad))
  }
  return (
    <div class="standing">
      <StandHead title={view.title} over={job} back={pad} />
      <main class="floor" id="main">
        <div class="page stack">
          <p class="row">
            <Said name={view.state} />
            <span>
              {view.filled} of {view.of}
            </span>
          </p>
          <FlagList flags={view.flags} label="Flags of this step" />
          <h2>Readings and values</h2>
          <StepTable view={view} open={open} />
          <section class="stack" aria-label="Pictures">
            <h2>Pictures</h2>
            <PhotoList build={view.build} photos={view.photos} placeWords={placeWordsOf(view)} />
            <PhotoKeys build={view.build} step={view.id} place={null} />
          </section>
          <SignPanel view={view} />
          <More view={view} />
        </div>
        {view.next === null && view.sign.ready && !view.signed && (
          <div class="dock">
            <button type="button" class="button main wide" onClick={toSignature}>
              To the signature
            </button>
          </div>
        )}
        {view.next !== null && (
          <div class="dock">
            <button type="button" class="button main wide" onClick={() => open(view.next ?? '')}>
              Go on measuring
            </button>
          </div>
        )}
      </main>
    </div>
  )
}
