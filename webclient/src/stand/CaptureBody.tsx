import { useState } from 'preact/hooks'
import type { PlaceView, StepView } from '../brain/types.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { ChoiceInput, FlagInput, TextInput } from './Answers.tsx'
import { AskSheet } from './AskSheet.tsx'
import { CautionGate } from './CautionGate.tsx'
import { toTap } from './cautions.ts'
import { DrawingStrip } from './Drawing.tsx'
import { KeptLine } from './KeptLine.tsx'
import { Pad } from './Pad.tsx'
import { groupOf, PlaceHead, PlaceNotes } from './Place.tsx'
import { ReasonChip } from './ReasonChip.tsx'
import { Recent, Tools } from './Tools.tsx'
import { UnitSheet, unitWords } from './UnitSheet.tsx'
import { ValueBox } from './ValueBox.tsx'
import { EchoLine, LimitLine, Sentence } from './Verdict.tsx'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  place: PlaceView
  refused?: Record<string, string>
}

const ANSWERED = ['choice', 'flag', 'text']

/** The upper half of a measured place: where, what is typed, what it means. */
function Measured({ work, view, place }: Props) {
  const [units, setUnits] = useState(false)
  const { capture } = work
  const preview = capture.preview.value
  return (
    <>
      <ValueBox
        capture={capture}
        place={place}
        unitWords={unitWords(capture.unit.value)}
        pickUnit={() => setUnits(true)}
      />
      <EchoLine preview={preview} />
      <LimitLine preview={preview} group={groupOf(view, place)} />
      <Sentence preview={preview} />
      {units && <UnitSheet work={work} place={place} close={() => setUnits(false)} />}
    </>
  )
}

/** The lower half: what the thumb works with. A caution that wants a tap stands there first. */
function Dock({ work, view, place, refused = {} }: Props) {
  const { capture } = work
  const caution = toTap(view.cautions, work.tapped.ids.value ?? [])
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
        aria-disabled={capture.busy.value}
        onClick={() => void capture.next()}
      >
        Next
      </button>
    </div>
  )
}

/** One place under the hand, whatever its kind. */
export function CaptureBody(props: Props) {
  const { work, view, place } = props
  const { capture } = work
  return (
    <>
      <main class="page capture" id="main">
        <DrawingStrip view={view} place={place} />
        <PlaceHead work={work} place={place} />
        {!ANSWERED.includes(place.kind) && <Measured {...props} />}
        <TroubleLine trouble={capture.trouble.value} />
        <ReasonChip capture={capture} place={place} />
        <PlaceNotes capture={capture} place={place} />
        <KeptLine capture={capture} view={view} />
        <Recent view={view} place={place} />
        <Tools work={work} view={view} place={place} />
      </main>
      <Dock {...props} />
      <AskSheet capture={capture} />
    </>
  )
}
