import { useState } from 'preact/hooks'
import type { PlaceView } from '../brain/types.ts'
import { GaugeSheet } from './GaugeSheet.tsx'
import type { Work } from './work.ts'

interface Props {
  work: Work
  place: PlaceView
}

/** Which gauge is in hand. The question comes by itself once in a spell of work, before the first size. */
export function GaugeKey({ work, place }: Props) {
  const [open, setOpen] = useState(false)
  const gauge = work.gauges.value[place.kind]
  // A view that an older version of the app kept does not say.
  if (!place.gauges?.length) return null
  const close = () => {
    setOpen(false)
    if (work.gauges.value[place.kind] === undefined) void work.useGauge(null, place.kind)
  }
  return (
    <>
      <button type="button" class="button plain tool" onClick={() => setOpen(true)}>
        Gauge
      </button>
      {(open || gauge === undefined) && <GaugeSheet work={work} place={place} close={close} />}
    </>
  )
}
