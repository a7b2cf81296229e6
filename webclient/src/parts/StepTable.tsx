import type { GroupView, LimitView, PlaceView, StepView, ValueView } from '../brain/types.ts'
import { InkLine, InkSource } from './Ink.tsx'
import { Said } from './signs.tsx'
import { nameOf } from './spell.ts'
import { moment } from './when.ts'

type Open = (place: string) => void

function accepted(place: PlaceView): string {
  if (place.not_measured !== null) return `not measured, because ${place.not_measured}`
  if (!place.accepted) return place.readings.some(({ live }) => live) ? 'no value yet' : '–'
  return place.accepted.words
}

/** Ink worth its own lines: more than one reading, one that no longer counts, one with a note. */
function isStory(place: PlaceView): boolean {
  return place.readings.length > 1 || place.readings.some(({ live, note }) => !live || note !== '')
}

/** The history of a place; at the desk a single plain reading still says who, when and with what. */
function History({ place, all }: { place: PlaceView; all: boolean }) {
  if (isStory(place))
    return (
      <div class="ink-list">
        {place.readings.map((reading) => (
          <InkLine key={reading.id} reading={reading} />
        ))}
      </div>
    )
  const only = place.readings[0]
  return all && only ? <InkSource reading={only} /> : null
}

function PlaceLine({ place, open }: { place: PlaceView; open: Open | undefined }) {
  const line = (
    <>
      <span class="grow">{place.short}</span>
      <strong>{accepted(place)}</strong>
    </>
  )
  if (!open) return <p class="place-open">{line}</p>
  return (
    <button type="button" class="place-open" onClick={() => open(place.id)}>
      {line}
    </button>
  )
}

function PlaceRow({ place, open }: { place: PlaceView; open: Open | undefined }) {
  return (
    <li class="place-row">
      <PlaceLine place={place} open={open} />
      {place.disagree && <Said name="WARN" words="two readings disagree" />}
      {place.asked_again !== null && (
        <Said name="WARN" words={`asked again by the lead: ${place.asked_again}`} />
      )}
      <History place={place} all={!open} />
    </li>
  )
}

export function LimitRow({ limit }: { limit: LimitView }) {
  return (
    <p class="small">
      {limit.words} <strong>{limit.band}</strong>, {limit.source}
      {limit.trust && <span class="soft">. {limit.trust}</span>}
    </p>
  )
}

/** One judged value: what, how much, the verdict, each limit with its source, and what the lead said. */
export function ValueRow({ value }: { value: ValueView }) {
  const lead = value.accepted_by_lead
  return (
    <li class="value-row-line">
      <p class="value-line">
        <span class="grow">{value.short}</span>
        <strong>{value.shown?.words ?? '–'}</strong>
        <Said name={value.verdict} />
      </p>
      {value.missing.length > 0 && <p class="small">Missing: {value.missing.join(', ')}</p>}
      {value.limits.map((limit) => (
        <LimitRow key={limit.id} limit={limit} />
      ))}
      {lead && (
        <p class="small">
          <Said name="accepted by lead" />{' '}
          {`${nameOf(lead.person)}, ${moment(lead.at)}: ${lead.reason}`}
        </p>
      )}
    </li>
  )
}

/** A group's heading lies one level under the page's own: under "Readings" at the stand, under the step at the desk. */
function Head({ words, open }: { words: string; open: Open | undefined }) {
  return open ? <h3 class="group-head">{words}</h3> : <h4 class="group-head">{words}</h4>
}

interface GroupProps {
  view: StepView
  group: GroupView
  open: Open | undefined
}

function Group(props: GroupProps) {
  const { view, group, open } = props
  return (
    <section class="group" aria-label={`${view.title}: ${group.words}`}>
      {group.aside ? (
        <details class="fold">
          <summary>{group.words}</summary>
          <Rows {...props} />
        </details>
      ) : (
        <>
          <Head words={group.words} open={open} />
          <Rows {...props} />
        </>
      )}
    </section>
  )
}

function Rows({ view, group, open }: GroupProps) {
  // A joint has places for each fastener and for steps that few cards have: only what was said there is worth a line.
  const rows = group.places.filter(
    ({ required, readings }) => view.style !== 'joint' || required || readings.length > 0,
  )
  return (
    <>
      <ul class="places">
        {rows.map((place) => (
          <PlaceRow key={place.id} place={place} open={open} />
        ))}
      </ul>
      <ul class="values" aria-label={`Values of ${group.words}`}>
        {group.values.map((value) => (
          <ValueRow key={value.id} value={value} />
        ))}
      </ul>
    </>
  )
}

/** All places and values of a step. At the stand `open` leads to a place; at the desk all ink is shown. */
export function StepTable({ view, open }: { view: StepView; open?: Open }) {
  return (
    <div class="groups">
      {view.values.length > 0 && (
        <section class="group" aria-label={`${view.title}: over all`}>
          <Head words="Over all" open={open} />
          <ul class="values">
            {view.values.map((value) => (
              <ValueRow key={value.id} value={value} />
            ))}
          </ul>
        </section>
      )}
      {view.groups.map((group) => (
        <Group key={group.id} view={view} group={group} open={open} />
      ))}
    </div>
  )
}
