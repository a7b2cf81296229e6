import type { StepView } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'
import type { Capture } from './capture.ts'
import { placesOf } from './walk.ts'

/** "Kept": the reading before this one, with its place and verdict, so that the eye confirms what the hand did. */
export function KeptLine({ capture, view }: { capture: Capture; view: StepView }) {
  const kept = capture.kept.value
  const place = kept && placesOf(view).get(kept.place)
  return (
    <p class="kept" role="status">
      {kept && (
        <>
          <Sign name={kept.preview?.verdict ?? 'shown'} size={18} />
          <span>
            Kept: {place?.short ?? ''} <strong>{kept.words}</strong>
            {kept.preview?.verdict &&
              kept.preview.verdict !== 'shown' &&
              `, ${kept.preview.verdict}`}
          </span>
        </>
      )}
    </p>
  )
}
