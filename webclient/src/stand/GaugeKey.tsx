import { useState } from 'preact/hooks'
import type { PlaceView, StepView } from '../brain/types.ts'
import { GaugeSheet } from './GaugeSheet.tsx'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  place: PlaceView
}

/** Which gauge is in hand. The question comes by itself once in a spell of work, before the first size. */
export function GaugeKey({ work, view, place }: Props) {
  const [open, setOpen] = useState(false)
  const gauge = work.gauge.value
  if (view.instrument_kinds.length === 0 || place.kind !== 'length' || view.style === 'joint')
    return null
  const close = () => {
    setOpen(false)
    if (work.gauge.value === undefined) void work.useGauge(null)
  }
  return (
    <>
      <button type="button" class="button plain tool" onClick={() => setOpen(true)}>
        Gauge
      </button>
      {(open || gauge === undefined) && (
        <GaugeSheet work={work} view={view} place={place} close={close} />
      )}
    </>
  )
}
