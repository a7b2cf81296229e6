import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { Flag, JointAct, JointCard, JointGuide, JointKey, StepView } from '../brain/types.ts'
import { FlagList } from '../parts/FlagLine.tsx'
import { HandSheet } from '../parts/HandSheet.tsx'
import { hand, nameOf } from '../parts/spell.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { AskSheet } from './AskSheet.tsx'
import { CautionGate } from './CautionGate.tsx'
import { toTap } from './cautions.ts'
import { FeltSheet } from './FeltSheet.tsx'
import { JointPlan } from './JointPlan.tsx'
import { KeptLine } from './KeptLine.tsx'
import { SkipSheet } from './SkipSheet.tsx'
import { unitWords } from './UnitSheet.tsx'
import { WaitLeft } from './Wait.tsx'
import { placesOf } from './walk.ts'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  guide: JointGuide
  card: JointCard
  children: ComponentChildren
}

function Setting({ now }: { now: JointAct }) {
  if (!now.setting) return null
  const unit = unitWords(now.setting.unit)
  return (
    <p class="joint-setting">
      <strong class="joint-number">
        {now.setting.text}
        <span class="joint-unit">
          {unit === '°' ? '' : ' '}
          {unit}
        </span>
      </strong>
      <span class="joint-under">
        {now.under} <strong>{now.lubricant}</strong>
      </span>
    </p>
  )
}

/** Whose turn it is: who tightened does not check. */
function OtherHand({ work, view, now }: { work: Work; view: StepView; now: JointAct }) {
  const [sheet, setSheet] = useState<'hand' | 'alone' | null>(null)
  const place = placesOf(view).get(now.place)
  return (
    <div class="dock stack">
      <p>
        {nameOf(hand.value ?? '')} tightened it. <strong>Somebody else checks it.</strong>
      </p>
      <button type="button" class="button main wide joint-key" onClick={() => setSheet('hand')}>
        Hand the phone over
      </button>
      <button type="button" class="button plain wide" onClick={() => setSheet('alone')}>
        Nobody else is here: leave it to the lead
      </button>
      {sheet === 'hand' && <HandSheet close={() => setSheet(null)} />}
      {sheet === 'alone' && place && (
        <SkipSheet
          work={work}
          place={place}
          title="Not checked, because …"
          close={() => setSheet(null)}
        />
      )}
    </div>
  )
}

interface KeysProps {
  work: Work
  view: StepView
  card: JointCard
  now: JointAct
}

function Keys({ work, view, card, now }: KeysProps) {
  const [felt, setFelt] = useState(false)
  const { capture } = work
  // A second tap of a quick thumb belongs to the act that it saw, not to the next one.
  const [sent, setSent] = useState<JointAct | null>(null)
  const caution = now.setting && toTap(view.cautions, work.tapped.ids.value ?? [])
  if (caution) return <CautionGate caution={caution} tap={() => work.tapped.tap(caution.id)} />
  if (now.not_by.includes(hand.value ?? '')) return <OtherHand work={work} view={view} now={now} />
  const busy = capture.busy.value || (sent === now && capture.trouble.value === null)
  const press = async ({ text, pulls }: JointKey) => {
    if (busy) return
    setSent(now)
    await work.goTo(now.place)
    await capture.put({ text, unit: null }, pulls)
    if (capture.ask.peek()) setSent(null) // Nothing is kept yet: whoever closes the question may tap again.
  }
  const key = (one: JointKey, style: string) => (
    <button
      key={one.text}
      type="button"
      class={`button ${style}`}
      aria-disabled={busy}
      onClick={() => void press(one)}
    >
      {one.words}
    </button>
  )
  return (
    <div class="dock joint-keys">
      <div class="two">
        {now.step_key && key(now.step_key, 'plain')}
        <button type="button" class="button plain" onClick={() => setFelt(true)}>
          Something felt wrong
        </button>
      </div>
      {now.keys.map((one, at) => key(one, at === 0 ? 'main wide joint-key' : 'wide tall'))}
      {felt && <FeltSheet work={work} card={card} close={() => setFelt(false)} />}
    </div>
  )
}

function Setup({ work, guide, card }: { work: Work; guide: JointGuide; card: JointCard }) {
  return (
    <details class="fold">
      <summary>How it is tightened</summary>
      <ul class="keys-list">
        {guide.setup.map(({ place, words, shown }) => (
          <li key={place}>
            <button
              type="button"
              class="button plain wide left"
              onClick={() => work.openByHand(place)}
            >
              <span class="grow">
                {words}
                <span class="small line">{shown ?? 'not given'}</span>
              </span>
            </button>
          </li>
        ))}
      </ul>
      <p class="soft">Order: {card.order.join(', ')}</p>
    </details>
  )
}

/** One joint under both hands: what to set, which pass, where the wrench goes next. */
export function JointBody({ work, view, guide, card, children }: Props) {
  const { now } = card
  const lines = now?.lines.map((line) => <p key={line}>{line}</p>)
  // What holds the joint stands over what to set; what the act itself is about is its title.
  const holds = ({ open, severity, place }: Flag) =>
    open && ['STOP', 'HOLD'].includes(severity) && place !== now?.place
  return (
    <main class="floor" id="main">
      <div class="page joint">
        {children}
        <div class="joint-head">
          <h2 class="joint-title">{now?.title ?? card.words}</h2>
          {now?.next && <p class="joint-next">{now.next}</p>}
        </div>
        <FlagList flags={view.flags.filter(holds)} label="Before anything is pulled" />
        {card.stuck && <p class="flag warn">{card.stuck}</p>}
        {now && <Setting now={now} />}
        {now?.wait && <WaitLeft wait={now.wait} style="joint-next" />}
        <TroubleLine trouble={work.capture.trouble.value} />
        {!now?.setting && lines}
        {card.plan && <JointPlan plan={card.plan} words={card.words} />}
        {now?.setting && lines}
        <KeptLine capture={work.capture} view={view} hidden />
        {card.who.map((line) => (
          <p key={line} class="joint-who">
            {line}
          </p>
        ))}
        <FlagList flags={view.flags.filter((flag) => !holds(flag))} label="Flags of this step" />
        <Setup work={work} guide={guide} card={card} />
      </div>
      {now && <Keys work={work} view={view} card={card} now={now} />}
      <AskSheet capture={work.capture} />
    </main>
  )
}
