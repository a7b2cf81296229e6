import type { StepView } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'
import { keptVerdict } from '../parts/verdictwords.ts'
import type { Capture } from './capture.ts'
import { unitWords } from './UnitSheet.tsx'
import { placesOf } from './walk.ts'

interface Props {
  capture: Capture
  view: StepView
  /** Out of sight while the next value is typed; the line stays for whoever hears the screen read. */
  hidden?: boolean
}

/** "Kept": the reading before this one, with its place and verdict, so that the eye confirms what the hand did. */
export function KeptLine({ capture, view, hidden = false }: Props) {
  const kept = capture.kept.value
  const place = kept && placesOf(view).get(kept.place)
  const verdict = kept?.preview?.verdict
  const words = keptVerdict(verdict)
  return (
    <p class={hidden ? 'unseen' : 'kept'} role="status">
      {kept && (
        <>
          <Sign name={(words && verdict) || 'shown'} />
          <span>
            Kept: {place?.short ?? ''}{' '}
            <strong>{[kept.words, unitWords(kept.unit)].filter(Boolean).join(' ')}</strong>
            {words && `, ${words}`}
          </span>
        </>
      )}
    </p>
  )
}
