import type { Instrument, StepView } from '../brain/types.ts'
import { Sheet } from '../parts/Sheet.tsx'
import { instruments } from '../parts/seam.ts'
import { unitWords } from './UnitSheet.tsx'
import type { Work } from './work.ts'

/** The shop's instruments that fit this step, best kind first, then the others. */
export function inOrderOfFit(list: Instrument[], kinds: string[]): Instrument[] {
  const place = ({ kind }: Instrument) =>
    kinds.includes(kind) ? kinds.indexOf(kind) : kinds.length
  return [...list].sort((a, b) => place(a) - place(b))
}

function GaugeKey({
  gauge,
  chosen,
  pick,
}: {
  gauge: Instrument
  chosen: boolean
  pick: () => void
}) {
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

/** Which gauge: asked once in a spell of work, changed by a tap on its name. */
export function GaugeSheet({
  work,
  view,
  close,
}: {
  work: Work
  view: StepView
  close: () => void
}) {
  const pick = (instrument: Instrument | null) => {
    void work.useGauge(instrument)
    close()
  }
  return (
    <Sheet title="Which gauge is in your hand?" close={close}>
      <ul class="keys-list">
        {inOrderOfFit(instruments.value, view.instrument_kinds).map((gauge) => (
          <li key={gauge.id}>
            <GaugeKey
              gauge={gauge}
              chosen={work.gauge.value?.id === gauge.id}
              pick={() => pick(gauge)}
            />
          </li>
        ))}
        <li>
          <button type="button" class="button plain wide left" onClick={() => pick(null)}>
            One that is not on this list
          </button>
        </li>
      </ul>
    </Sheet>
  )
}
