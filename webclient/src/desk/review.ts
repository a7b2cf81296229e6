/** What waits for the lead, worst first, over all builds; and the entry that a decision becomes. Nothing is judged here. */
import type {
  Flag,
  HoldSummary,
  PlaceView,
  Severity,
  Shown,
  State,
  StepView,
  ValueView,
} from '../brain/types.ts'
import type { Fact } from '../parts/write.ts'

export interface Waiting {
  key: string
  build: string
  job: string
  title: string
  stepTitle: string
  flag: Flag
}

export type Verb = 'accept' | 'counts' | 'measure_again' | 'strike_out'

const RANK: Record<Severity, number> = { STOP: 0, HOLD: 1, WARN: 2, NOTE: 3 }

function titleOf(state: State, step: string | null): string {
  const steps = state.stages.flatMap((stage) => stage.steps)
  return steps.find(({ id }) => id === step)?.title ?? 'Engine'
}

function waitingIn(state: State): Waiting[] {
  const { build, job, title } = state
  return state.flags
    .filter((flag) => flag.open)
    .map((flag) => {
      const stepTitle = titleOf(state, flag.step)
      return { key: `${build} ${flag.id}`, build, job, title, stepTitle, flag }
    })
}

/** Within one severity: what a measured value says before what a note says, and what was only begun too early last. */
const SORTS: Flag['sort'][] = [
  'out',
  'disagree',
  'too close',
  'joint',
  'wait',
  'slip',
  'close',
  'asked again',
  'not measured',
  'engine',
  'instrument',
  'missing',
  'no card',
  'order',
]

/** Holds in which nothing but a lead's signature is wanting. */
export function holdsForLead(engines: State[]): { state: State; hold: HoldSummary }[] {
  return engines.flatMap((state) =>
    state.holds
      .filter(({ waits_for }) => waits_for.includes('lead'))
      .map((hold) => ({ state, hold })),
  )
}

function weight({ flag }: Waiting): number {
  return RANK[flag.severity] * SORTS.length + SORTS.indexOf(flag.sort)
}

/** Worst first; within one severity what is out of limits, then the build that was touched last. */
export function waitingForLead(engines: State[]): Waiting[] {
  const touched = [...engines].sort((a, b) =>
    (a.last_touch?.at ?? '') < (b.last_touch?.at ?? '') ? 1 : -1,
  )
  const all = touched.flatMap(waitingIn)
  return all.sort((a, b) => weight(a) - weight(b))
}

/** Where the choice goes when the list moves under it: the same item, else the one now in its place. */
export function keepChoice(list: Waiting[], key: string | null, at: number): number {
  const same = list.findIndex((item) => item.key === key)
  if (same >= 0) return same
  return Math.max(0, Math.min(at, list.length - 1))
}

export interface Subject {
  value: ValueView | null
  /** The places that it rests on, or the one place it speaks about. */
  places: PlaceView[]
  /** The same kind of value, or what the same place says, in the other groups of the step. */
  neighbours: Neighbour[]
}

export interface Neighbour {
  id: string
  group: string
  words: string
  verdict: ValueView['verdict'] | null
}

function likeValues(view: StepView, value: ValueView): Neighbour[] {
  return view.groups.flatMap((group) =>
    group.values
      .filter(({ id, short }) => id !== value.id && short === value.short)
      .map(({ id, shown, verdict }) => ({
        id,
        group: group.words,
        words: shown?.words ?? '–',
        verdict,
      })),
  )
}

/** "Main journal 2" and "Main journal 3" are of one sort, "Rod journal 2" is of another. */
function sortOf(words: string | undefined): string | undefined {
  return words?.replace(/\d+/g, '')
}

/** What the same place says in groups of the same sort, where it says anything. */
function likePlaces(view: StepView, place: PlaceView): Neighbour[] {
  const own = sortOf(view.groups.find(({ id }) => id === place.group)?.words)
  return view.groups
    .filter(({ words }) => sortOf(words) === own)
    .flatMap((group) =>
      group.places
        .filter(({ id, short }) => id !== place.id && short === place.short)
        .flatMap(({ id, accepted }) =>
          accepted ? [{ id, group: group.words, words: accepted.words, verdict: null }] : [],
        ),
    )
}

/** What a flag speaks about, as far as its step shows it. */
export function subjectOf(view: StepView, flag: Flag): Subject {
  const values = [...view.values, ...view.groups.flatMap((group) => group.values)]
  const value = values.find(({ id }) => id === flag.about) ?? null
  const all = view.groups.flatMap((group) => group.places)
  const uses = value?.uses ?? [flag.place ?? flag.about]
  const places = all.filter(({ id }) => uses.includes(id))
  const [first] = places
  const neighbours = value ? likeValues(view, value) : first ? likePlaces(view, first) : []
  return { value, places, neighbours }
}

/** A group's answers beside the one in question. */
export interface Beside {
  group: string
  places: PlaceView[]
}

function isAnswered({ accepted, readings }: PlaceView): boolean {
  return accepted !== null || readings.some(({ live }) => live)
}

/**
 * What a decision about one place of a joint rests on: what else was done at the same joint, and how all of it is
 * tightened. Elsewhere values and neighbours say it.
 */
export function besideOf(view: StepView, subject: Subject): Beside[] {
  const [place] = subject.places
  if (view.style !== 'joint' || !place) return []
  const own = view.groups.filter(({ id }) => id === place.group)
  const how = view.groups.slice(0, 1).filter(({ id }) => id !== place.group)
  return [...own, ...how]
    .map(({ words, places }) => ({
      group: words,
      places: places.filter((one) => one.id !== place.id && isAnswered(one)),
    }))
    .filter(({ places }) => places.length > 0)
}

function decision(
  item: Waiting,
  verb: string,
  about: string,
  reason: string,
  value: ValueView | null,
) {
  const shown: Shown | null = value?.shown ?? null
  const limit = value?.limits
    .map(({ words, band, source }) => `${words} ${band}, ${source}`)
    .join('; ')
  return {
    build: item.build,
    kind: 'decision',
    step: item.flag.step,
    place: item.flag.place,
    why: null,
    body: { v: 1, decision: verb, about, reason, value: shown, limit: limit ?? '' },
  }
}

/** Readings that are not struck out and say a value. */
function counting(subject: Subject) {
  return subject.places.flatMap(({ readings }) =>
    readings.filter(({ live, shown }) => live && shown !== null),
  )
}

/** Which of several readings counts: the others are struck out with the reason. */
export function settled(item: Waiting, subject: Subject, target: string, reason: string): Fact[] {
  return counting(subject)
    .filter(({ id }) => id !== target)
    .map(({ id }) => decided(item, 'strike_out', id, `the other reading counts: ${reason}`, null))
}

/**
 * The entry for a decision. `target`: for "measure again" the value's or a place's id, for "strike out" the
 * reading's; unused for "accept".
 */
export function decided(
  item: Waiting,
  verb: Verb,
  target: string,
  reason: string,
  value: ValueView | null,
): Fact {
  if (verb !== 'strike_out') {
    const about = verb === 'accept' ? item.flag.about : target
    return decision(item, verb, about, reason, value)
  }
  const { build, flag } = item
  const body = { v: 1, target, reason }
  return { build, kind: 'struck_out', step: flag.step, place: flag.place, why: null, body }
}
