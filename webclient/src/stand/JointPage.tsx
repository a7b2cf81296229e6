import { useEffect, useMemo, useState } from 'preact/hooks'
import type { Instrument, JointCard, JointGuide, PlaceView, StepView } from '../brain/types.ts'
import { guideView, instruments } from '../parts/seam.ts'
import { Sign } from '../parts/signs.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { AllFilled } from './AllFilled.tsx'
import { AskSheet } from './AskSheet.tsx'
import { CaptureBody } from './CaptureBody.tsx'
import { JointBody } from './JointBody.tsx'
import { placesOf } from './walk.ts'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
}

/** Which torque wrench: before any joint is touched, so that its range and its date are known. */
function WrenchAsk({ work, view, place }: Props & { place: PlaceView }) {
  const fit = instruments.value.filter(({ kind }) => view.instrument_kinds.includes(kind))
  const take = async (wrench: Instrument | null) => {
    await work.useGauge(wrench, 'wrench')
    await work.capture.put({ text: wrench?.name ?? 'not on the list', unit: null }, 0)
  }
  return (
    <main class="floor" id="main">
      <div class="page stack">
        <h2 class="place-words">{place.words}</h2>
        <p class="soft">Which one is in your hand?</p>
        <TroubleLine trouble={work.capture.trouble.value} />
      </div>
      <ul class="dock keys-list">
        {fit.map((wrench) => (
          <li key={wrench.id}>
            <button type="button" class="button wide tall left" onClick={() => void take(wrench)}>
              <span class="grow">
                {wrench.name}
                {wrench.calibration_due && (
                  <span class="small line">calibration due {wrench.calibration_due}</span>
                )}
              </span>
            </button>
          </li>
        ))}
        <li>
          <button type="button" class="button plain wide tall left" onClick={() => void take(null)}>
            One that is not on this list
          </button>
        </li>
      </ul>
      <AskSheet capture={work.capture} />
    </main>
  )
}

/** The head that is worked on: the picked one, else the first that is not done. */
function Joints({
  joints,
  open,
  pick,
}: {
  joints: JointCard[]
  open: JointCard
  pick: (id: string) => void
}) {
  if (joints.length < 2) return null
  return (
    <div class="two">
      {joints.map(({ id, words, done }) => (
        <button
          key={id}
          type="button"
          class="button plain"
          aria-pressed={id === open.id}
          onClick={() => pick(id)}
        >
          {words}
          {done && (
            <>
              {' '}
              <Sign name="in" />
            </>
          )}
        </button>
      ))}
    </div>
  )
}

function onlyPlace(view: StepView, id: string | null | undefined): PlaceView | null {
  return (id && placesOf(view).get(id)) || null
}

/** A joint: first how it is tightened, question by question, then pass by pass. The brain says what comes next. */
export function JointPage({ work, view }: Props) {
  const guide = useMemo(
    () => guideView<JointGuide>(view.build, view.id),
    [view.build, view.id],
  ).value
  const [picked, pick] = useState<string | null>(null)
  const { capture } = work
  const place = capture.place.value
  const joints = guide?.joints ?? []
  const card = joints.find(({ id }) => id === picked) ?? joints.find(({ done }) => !done)
  const wanted = guide?.ask ?? card?.now?.place ?? null
  // Only a newer guide moves the hand on: the one before still names the place that was just answered.
  useEffect(() => {
    if (wanted && !work.byHand.value && capture.place.peek()?.id !== wanted) void work.goTo(wanted)
  }, [guide, wanted])
  const ask = onlyPlace(view, guide?.ask)
  // A thumb may go to and fro between the questions.
  const roams = work.byHand.value || (ask !== null && place?.group === ask.group)
  const asked = roams ? place : ask
  if (asked?.kind === 'wrench') return <WrenchAsk work={work} view={view} place={asked} />
  if (asked && place?.id === asked.id) return <CaptureBody work={work} view={view} place={place} />
  if (!guide || asked) return <main class="floor" id="main" aria-busy="true" />
  if (!card || (card.done && !picked))
    return <AllFilled view={view} work={work} after={guide.after} />
  return (
    <JointBody work={work} view={view} guide={guide} card={card}>
      <Joints joints={joints} open={card} pick={pick} />
    </JointBody>
  )
}
