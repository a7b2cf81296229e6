import { useMemo } from 'preact/hooks'
import type { PlaceView, StepView, ValueView } from '../brain/types.ts'
import { FlagLine } from '../parts/FlagLine.tsx'
import { InkLine, InkSource } from '../parts/Ink.tsx'
import { LimitBar } from '../parts/LimitBar.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { placeWordsOf } from '../parts/placewords.ts'
import { to } from '../parts/router.ts'
import { ValueRow } from '../parts/StepTable.tsx'
import { buildState, stepView } from '../parts/seam.ts'
import { Said, Sign } from '../parts/signs.tsx'
import { nameOf } from '../parts/spell.ts'
import { moment } from '../parts/when.ts'
import { cardPlace } from './cards.ts'
import { DecisionForm } from './DecisionForm.tsx'
import { besideOf, type Subject, subjectOf, type Verb, type Waiting } from './review.ts'

interface Props {
  item: Waiting
  verb: Verb | null
  pick: (verb: Verb) => void
  done: () => void
  gone: boolean
}

/** Pictures of the cards that give the limits. */
function CardPictures({ build, value }: { build: string; value: ValueView }) {
  const cards = value.limits.map(({ card }) => card && cardPlace(card))
  const photos = (buildState(build).value?.photos ?? []).filter(({ place }) =>
    cards.includes(place),
  )
  if (photos.length === 0) return null
  return (
    <>
      <h3>The card</h3>
      <PhotoList build={build} photos={photos} />
    </>
  )
}

function Value({ build, subject }: { build: string; subject: Subject }) {
  const { value } = subject
  if (!value) return null
  return (
    <section class="stack" aria-label="Value and limit">
      <p class="review-value">{value.shown?.words ?? 'no value'}</p>
      {value.limits.map((limit) => (
        <LimitBar key={limit.id} limit={limit} />
      ))}
      <ul>
        <ValueRow value={value} />
      </ul>
      <CardPictures build={build} value={value} />
    </section>
  )
}

function Readings({ places }: { places: PlaceView[] }) {
  if (places.length === 0) return null
  return (
    <section class="stack" aria-label="Readings">
      <h3>Readings it rests on</h3>
      {places.map((place) => (
        <div key={place.id}>
          <h4>{place.words}</h4>
          <div class="ink-list">
            {place.readings.map((reading) => (
              <div key={reading.id}>
                <InkLine reading={reading} />
                {reading.used && <Said name="in" words="counts" />}
              </div>
            ))}
            {place.readings.length === 0 && <p class="soft">No reading.</p>}
          </div>
        </div>
      ))}
    </section>
  )
}

function Neighbours({ subject }: { subject: Subject }) {
  if (subject.neighbours.length === 0) return null
  return (
    <section class="stack" aria-label="Neighbours">
      <h3>Neighbours</h3>
      <ul class="neighbours">
        {subject.neighbours.map(({ id, group, words, verdict }) => (
          <li key={id}>
            <span class="grow">{group}</span>
            <strong>{words}</strong>
            {verdict && <Said name={verdict} />}
          </li>
        ))}
      </ul>
    </section>
  )
}

/** How the joint is tightened and what else was done at it, by whom and with what. */
function Joint({ view, subject }: { view: StepView; subject: Subject }) {
  return (
    <>
      {besideOf(view, subject).map(({ group, places }) => (
        <section key={group} class="stack" aria-label={group}>
          <h3>{group}</h3>
          <ul class="plain-list">
            {places.map((place) => (
              <JointLine key={place.id} place={place} />
            ))}
          </ul>
        </section>
      ))}
    </>
  )
}

function JointLine({ place }: { place: PlaceView }) {
  const last = place.readings.filter(({ live }) => live).at(-1)
  return (
    <li class="place-row beside-line">
      <p>
        {place.short}:{' '}
        <strong>{place.accepted?.words ?? `not measured, because ${place.not_measured}`}</strong>
      </p>
      {last && <InkSource reading={last} />}
    </li>
  )
}

/** Pictures of the places in question and of the step as a whole. */
function Pictures({ view, subject }: { view: StepView; subject: Subject }) {
  const here = subject.places.map(({ id }) => id)
  const photos = (view.photos ?? []).filter(({ place }) => place === null || here.includes(place))
  if (photos.length === 0) return null
  return (
    <section class="stack" aria-label="Pictures">
      <h3>Pictures</h3>
      <PhotoList build={view.build} photos={photos} placeWords={placeWordsOf(view)} />
    </section>
  )
}

function useStep(item: Waiting): StepView | null {
  const { build, flag } = item
  return useMemo(() => stepView(build, flag.step ?? ''), [build, flag.step]).value
}

/** What somebody else has said meanwhile, by whom and when where it is known. */
function Meanwhile({ view, item, subject }: { view: StepView; item: Waiting; subject: Subject }) {
  const now = view.flags.find(({ id }) => id === item.flag.id)
  const lead = subject.value?.accepted_by_lead
  return (
    <div role="alert" class="stack">
      <p class="flag hold">
        <Sign name="HOLD" />{' '}
        <span>
          Settled while you were at it{lead && ` by ${nameOf(lead.person)}, ${moment(lead.at)}`}
          {now?.answer ? `: ${now.answer}` : '.'}
        </span>
      </p>
    </div>
  )
}

/** One item with all that a decision needs: value, limit, source, readings, who and when, neighbours. */
export function ReviewItem({ item, verb, pick, done, gone }: Props) {
  const view = useStep(item)
  if (item.flag.step === null) return <EngineItem item={item} />
  if (!view || view.id !== item.flag.step) return <p aria-busy="true">Looking in the book …</p>
  const subject = subjectOf(view, item.flag)
  return (
    <article class="review-item" aria-label={item.flag.words}>
      <h2>
        <a href={to.deskBuild(item.build)}>
          {item.job} {item.title}
        </a>
        , {item.stepTitle}
      </h2>
      <FlagLine flag={item.flag} />
      {gone && <Meanwhile view={view} item={item} subject={subject} />}
      <DecisionForm item={item} subject={subject} verb={verb} pick={pick} done={done} gone={gone} />
      {gone && (
        <button type="button" class="button" onClick={done}>
          Leave it as it stands
        </button>
      )}
      <div class="review-facts">
        <Value build={item.build} subject={subject} />
        <Neighbours subject={subject} />
        <Readings places={subject.places} />
        <Joint view={view} subject={subject} />
        <Pictures view={view} subject={subject} />
      </div>
    </article>
  )
}

/** A flag of the engine's specification is answered by a better specification, not by a decision. */
function EngineItem({ item }: { item: Waiting }) {
  return (
    <article class="review-item" aria-label={item.flag.words}>
      <h2>
        {item.job} {item.title}
      </h2>
      <FlagLine flag={item.flag} />
      <p>
        <a class="button" href={to.deskBuild(item.build)}>
          Open the engine's specification
        </a>
      </p>
    </article>
  )
}
