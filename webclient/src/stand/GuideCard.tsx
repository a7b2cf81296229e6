import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks'
import type { Guide, PlaceView, StepView } from '../brain/types.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { AskSheet } from './AskSheet.tsx'
import { CautionGate } from './CautionGate.tsx'
import { cautionBefore } from './cautions.ts'
import { GaugeKey } from './GaugeKey.tsx'
import { KeptLine } from './KeptLine.tsx'
import { SkipSheet } from './SkipSheet.tsx'
import { ValveList } from './ValveList.tsx'
import { ValvePlan } from './ValvePlan.tsx'
import { ShortWait } from './Wait.tsx'
import type { Work } from './work.ts'

type Now = NonNullable<Guide['now']>

interface Props {
  work: Work
  view: StepView
  guide: Guide
  now: Now
  place: PlaceView
}

function Target({ now }: { now: Now }) {
  return (
    <p class="guide-target">
      <span class="guide-number">{now.large}</span>
      <span class="guide-band">{[now.target.echo, now.band].filter(Boolean).join(' · ')}</span>
    </p>
  )
}

function GuideKeys({ work, place, now, view }: Props) {
  const [skip, setSkip] = useState(false)
  const { capture } = work
  const caution = cautionBefore(view, work.tapped, place.id)
  if (caution) return <CautionGate caution={caution} tap={() => work.tapped.tap(caution.id)} />
  const byHand = () => work.openByHand(place.id)
  const set = () => void capture.putAt(place, { text: now.target.text, unit: now.target.unit })
  const measures = now.act === 'measure'
  return (
    <div class="dock guide-keys">
      <button type="button" class="button plain tall" onClick={() => setSkip(true)}>
        Couldn't
      </button>
      <button
        type="button"
        class="button main set-key"
        aria-disabled={capture.busy.value}
        onClick={measures ? byHand : set}
      >
        {measures ? 'Measure' : 'Set'}
      </button>
      <div class="other-keys">
        {!measures && (
          <button type="button" class="button plain grow" onClick={byHand}>
            Set to another value
          </button>
        )}
        <GaugeKey work={work} place={place} />
      </div>
      {skip && (
        <SkipSheet
          work={work}
          place={place}
          title="Couldn't, because …"
          close={() => setSkip(false)}
        />
      )}
    </div>
  )
}

/** One instruction at a time: which valve, when, to what; the plan and the order below it. */
export function GuideCard(props: Props) {
  const { work, guide, now, place, view } = props
  const { capture } = work
  const page = useRef<HTMLDivElement>(null)
  // Who scrolled down to the order must not miss the next instruction.
  useEffect(() => {
    page.current?.scrollTo(0, 0)
    scrollTo(0, 0)
  }, [place.id])
  useEffect(() => {
    work.standAt(place)
  }, [work, place.id])
  useLayoutEffect(() => work.onCard(place), [work, place])
  return (
    <main class="floor" id="main">
      <div class="page guide" ref={page}>
        <h2 class="guide-set">{now.set}</h2>
        <p class="guide-when">{now.when}</p>
        <Target now={now} />
        {guide.wait?.place === place.id && <ShortWait wait={guide.wait} />}
        {now.hint !== null && <p class="guide-hint">{now.hint}</p>}
        <p class="soft small">
          {now.angle} · {guide.done} of {guide.of} done
        </p>
        <TroubleLine trouble={capture.trouble.value} />
        <KeptLine capture={capture} view={view} />
        <ValvePlan guide={guide} />
        <ValveList guide={guide} open={(id) => work.openByHand(id)} />
      </div>
      <GuideKeys {...props} />
      <AskSheet capture={capture} />
    </main>
  )
}
