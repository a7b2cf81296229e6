import type { Instrument, PlaceView, StepView } from '../brain/types.ts'
import { Sheet } from '../parts/Sheet.tsx'
import { instruments } from '../parts/seam.ts'
import { offered } from './fit.ts'
import { unitWords } from './UnitSheet.tsx'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  place: PlaceView
  close: () => void
}

interface KeyProps {
  gauge: Instrument
  chosen: boolean
  pick: () => void
}

function OneGauge({ gauge, chosen, pick }: KeyProps) {
  const step = `reads to ${gauge.step.text} ${unitWords(gauge.step.unit)}`
  const due = gauge.calibration_due ? `, calibration due ${gauge.calibration_due}` : ''
  return (
    <button type="button" class="button plain wide left" aria-pressed={chosen} onClick={pick}>
      <span class="grow">
        {gauge.name}
        <span class="small line">{step + due}</span>
      </span>
    </button>
  )
}

interface ListProps {
  list: Instrument[]
  chosen: string | undefined
  pick: (gauge: Instrument) => void
}

function Gauges({ list, chosen, pick }: ListProps) {
  return (
    <ul class="keys-list">
      {list.map((gauge) => (
        <li key={gauge.id}>
          <OneGauge gauge={gauge} chosen={chosen === gauge.id} pick={() => pick(gauge)} />
        </li>
      ))}
    </ul>
  )
}

/** Which gauge: asked once in a spell of work, changed by a tap on its key. */
export function GaugeSheet({ work, view, place, close }: Props) {
  const pick = (instrument: Instrument | null) => {
    void work.useGauge(instrument)
    close()
  }
  const { fit, others } = offered(instruments.value, view.instrument_kinds, place.units)
  const chosen = work.gauge.value?.id
  return (
    <Sheet title="Which gauge is in your hand?" close={close}>
      <Gauges list={fit} chosen={chosen} pick={pick} />
      <button type="button" class="button plain wide left tall" onClick={() => pick(null)}>
        One that is not on this list
      </button>
      {others.length > 0 && (
        <details class="fold">
          <summary>Others of the shop</summary>
          <Gauges list={others} chosen={chosen} pick={pick} />
        </details>
      )}
    </Sheet>
  )
}
