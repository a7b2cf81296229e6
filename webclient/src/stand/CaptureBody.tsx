import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { PlaceView, StepView } from '../brain/types.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { ChoiceInput, FlagInput, TextInput } from './Answers.tsx'
import { AskSheet } from './AskSheet.tsx'
import { CautionGate } from './CautionGate.tsx'
import type { Capture } from './capture.ts'
import { cautionBefore } from './cautions.ts'
import { DrawingStrip } from './Drawing.tsx'
import { KeptLine } from './KeptLine.tsx'
import { onLift } from './lifted.ts'
import { Pad } from './Pad.tsx'
import { PlaceHead, PlaceNotes, PlaceWarnings } from './Place.tsx'
import { ReasonChip } from './ReasonChip.tsx'
import { Steppers } from './Steppers.tsx'
import { Recent, Tools } from './Tools.tsx'
import { Under } from './Under.tsx'
import { UnitSheet, unitWords } from './UnitSheet.tsx'
import { ValueBox } from './ValueBox.tsx'
import { isAnswered } from './walk.ts'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  place: PlaceView
  refused?: Record<string, string>
  /** Stands over what is known of an answered place. */
  children?: ComponentChildren
}

/** The upper half of a measured place: where, what is typed, what it means. */
function Measured({ work, view, place }: Props) {
  const [units, setUnits] = useState(false)
  const { capture } = work
  const trouble = capture.trouble.value
  const empty = trouble?.code === 'empty'
  return (
    <>
      <ValueBox
        capture={capture}
        place={place}
        unitWords={unitWords(capture.unit.value)}
        pickUnit={() => setUnits(true)}
        held={cautionBefore(view, work.tapped, place.id) !== null}
      >
        {empty ? <TroubleLine trouble={trouble} /> : <Recent view={view} place={place} />}
      </ValueBox>
      {!empty && <TroubleLine trouble={trouble} />}
      <Under work={work} view={view} place={place} />
      {units && <UnitSheet work={work} place={place} close={() => setUnits(false)} />}
    </>
  )
}

/** The same for a place that is answered by a key below. */
function Answered({ work, view, place, children }: Props) {
  return (
    <>
      {children}
      <TroubleLine trouble={work.capture.trouble.value} />
      <div class="under">
        <KeptLine capture={work.capture} view={view} />
        <PlaceWarnings view={view} place={place} />
        <PlaceNotes capture={work.capture} place={place} />
      </div>
    </>
  )
}

/** The lower half: what the thumb works with. A caution that wants a tap stands there first. */
function Dock({ work, view, place, refused = {} }: Props) {
  const { capture } = work
  const caution = cautionBefore(view, work.tapped, place.id)
  if (caution) return <CautionGate caution={caution} tap={() => work.tapped.tap(caution.id)} />
  if (place.kind === 'choice')
    return <ChoiceInput capture={capture} place={place} refused={refused} />
  if (place.kind === 'flag') return <FlagInput capture={capture} place={place} />
  if (place.kind === 'text') return <TextInput key={place.id} capture={capture} place={place} />
  return (
    <div class="dock">
      <Pad capture={capture} />
      <button
        type="button"
        class="button main wide next"
        aria-disabled={capture.busy}
        {...onLift(() => void capture.next())}
      >
        Next
      </button>
    </div>
  )
}

/** Something is typed or a reason was picked: the tools make way. */
function busyHand(capture: Capture): boolean {
  return capture.text.value !== '' || capture.reason.value !== null
}

/** The room above the keys. It alone looks whether something is typed: a key draws nothing else here anew. */
function Page({ capture, children }: { capture: Capture; children: ComponentChildren }) {
  return <div class={busyHand(capture) ? 'page capture typing' : 'page capture'}>{children}</div>
}

/** One place under the hand, whatever its kind. */
export function CaptureBody(props: Props) {
  const { work, view, place } = props
  const { capture } = work
  return (
    <main class="floor" id="main">
      <Page capture={capture}>
        <DrawingStrip view={view} place={place} />
        <PlaceHead place={place} />
        <ReasonChip capture={capture} />
        {isAnswered(place) ? <Answered {...props} /> : <Measured {...props} />}
        <Steppers capture={capture} />
        <Tools work={work} view={view} place={place} />
      </Page>
      <Dock {...props} />
      <AskSheet capture={capture} />
    </main>
  )
}
