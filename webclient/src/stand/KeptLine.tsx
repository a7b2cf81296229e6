import type { StepView, VerdictWord } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'
import type { Capture } from './capture.ts'
import { unitWords } from './UnitSheet.tsx'
import { placesOf } from './walk.ts'

interface Props {
  capture: Capture
  view: StepView
  /** Out of sight while the next value is typed; the line stays for whoever hears the screen read. */
  hidden?: boolean
}

/** A verdict worth saying of a kept reading; a row that is not complete yet has none. */
function told(verdict: VerdictWord | null | undefined): VerdictWord | null {
  return verdict && verdict !== 'shown' && verdict !== 'cannot judge' ? verdict : null
}

/** "Kept": the reading before this one, with its place and verdict, so that the eye confirms what the hand did. */
export function KeptLine({ capture, view, hidden = false }: Props) {
  const kept = capture.kept.value
  const place = kept && placesOf(view).get(kept.place)
  const verdict = told(kept?.preview?.verdict)
  return (
    <p class={hidden ? 'unseen' : 'kept'} role="status">
      {kept && (
        <>
          <Sign name={verdict ?? 'shown'} />
          <span>
            Kept: {place?.short ?? ''}{' '}
            <strong>{[kept.words, unitWords(kept.unit)].filter(Boolean).join(' ')}</strong>
            {verdict && `, ${verdict}`}
          </span>
        </>
      )}
    </p>
  )
}
