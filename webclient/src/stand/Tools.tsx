import { useState } from 'preact/hooks'
import type { PlaceView, StepView } from '../brain/types.ts'
import { Arrow } from './Arrow.tsx'
import type { Capture } from './capture.ts'
import { GaugeKey } from './GaugeKey.tsx'
import { HistorySheet } from './HistorySheet.tsx'
import { PhotoSheet, picturesAt } from './PhotoSheet.tsx'
import { SkipSheet } from './SkipSheet.tsx'
import { lastReadings } from './walk.ts'
import type { Work } from './work.ts'

/** The last three values of the same kind, so that a reopened page shows where the hand was. */
export function Recent({ view, place }: { view: StepView; place: PlaceView }) {
  const last = lastReadings(view, place.kind, 3)
  if (last.length === 0 || place.blind) return null
  return (
    <p class="recent">
      <span class="soft">Last: </span>
      {last.map((reading) => (
        <span key={reading.id} class="recent-value">
          {reading.shown?.text}
        </span>
      ))}
    </p>
  )
}

/** Offered where nothing stands yet: a place that has a reading wants its own number. */
function SameAsLast({
  capture,
  view,
  place,
}: {
  capture: Capture
  view: StepView
  place: PlaceView
}) {
  const last = lastReadings(view, place.kind, 1)[0]?.shown
  if (!last || place.readings.length > 0 || place.unit === null || place.blind) return null
  const same = () => {
    if (last.unit !== null) capture.pickUnit(last.unit)
    capture.type(last.text)
  }
  return (
    <button type="button" class="button plain tool" onClick={same}>
      Same as last
    </button>
  )
}

/** A picture of this place; its sign is filled once there is one. */
function PictureKey({ count, open }: { count: number; open: () => void }) {
  const lens = count > 0 ? 'currentColor' : 'none'
  return (
    <button type="button" class="button plain arrow" onClick={open}>
      <span class="unseen">Picture{count > 0 ? ` ${count}` : ''}</span>
      <svg viewBox="0 0 24 24" width="26" height="26" aria-hidden="true">
        <rect
          x="2"
          y="5"
          width="20"
          height="15"
          fill="none"
          stroke="currentColor"
          stroke-width="2"
        />
        <circle cx="12" cy="12.5" r="4.2" fill={lens} stroke="currentColor" stroke-width="2" />
      </svg>
    </button>
  )
}

/** Beside the pad: the same digits again, why there are none, and what was read here before. */
export function Tools({ work, view, place }: { work: Work; view: StepView; place: PlaceView }) {
  const [sheet, setSheet] = useState<'skip' | 'history' | 'pictures' | null>(null)
  const close = () => setSheet(null)
  const count = place.readings.length
  const pictures = picturesAt(view, place).length
  return (
    <div class="tools">
      <Arrow work={work} place={place} by={-1} />
      <SameAsLast capture={work.capture} view={view} place={place} />
      <button type="button" class="button plain tool" onClick={() => setSheet('skip')}>
        Skip, why
      </button>
      {count > 0 && (
        <button type="button" class="button plain tool" onClick={() => setSheet('history')}>
          History {count}
        </button>
      )}
      <PictureKey count={pictures} open={() => setSheet('pictures')} />
      <GaugeKey work={work} place={place} />
      <Arrow work={work} place={place} by={1} />
      {sheet === 'skip' && <SkipSheet work={work} place={place} close={close} />}
      {sheet === 'pictures' && <PhotoSheet view={view} place={place} close={close} />}
      {sheet === 'history' && <HistorySheet work={work} place={place} close={close} />}
    </div>
  )
}
