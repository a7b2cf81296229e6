import type { PlaceView, StepView } from '../brain/types.ts'
import { KeptLine } from './KeptLine.tsx'
import { groupOf, PlaceNotes, PlaceWarnings } from './Place.tsx'
import { ToAnswer } from './ToAnswer.tsx'
import { EchoLine, LimitLine, Sentence } from './Verdict.tsx'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  place: PlaceView
}

/**
 * Under the box: while it is empty, what was kept last and what is expected here; while something is typed,
 * what that means. Both share one room, so that the pad never moves.
 */
export function Under({ work, view, place }: Props) {
  const { capture } = work
  const preview = capture.preview.value
  const typing = capture.text.value !== ''
  return (
    <div class="under">
      <PlaceWarnings view={view} place={place} />
      {typing && (
        <>
          {!capture.trouble.value && <EchoLine preview={preview} text={capture.text.value} />}
          <LimitLine preview={preview} group={groupOf(view, place)} />
          <Sentence preview={preview} />
        </>
      )}
      <KeptLine capture={capture} view={view} hidden={typing} />
      {!typing && <ToAnswer work={work} view={view} place={place} />}
      {!typing && <PlaceNotes capture={capture} place={place} />}
    </div>
  )
}
