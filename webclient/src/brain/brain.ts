/**
 * The brain as the client sees it: one typed, asynchronous method for each call of the trade package.
 *
 * Every method throws BrainFailure (code, message, details). Builds live inside the brain between calls:
 * `open` once, then `add` entry by entry; see `brainStarts` for when they are gone. `beforeAsking` takes that
 * off the screens' hands.
 */
import { BrainFailure } from './failure.ts'
import { feedText } from './host.js'
import { ask, askNow, askText, callsSoFar } from './runtime.ts'
import type {
  Catalogue,
  Flag,
  GaugeNote,
  Guide,
  HoldView,
  Instrument,
  LimitsView,
  PlaceView,
  Preview,
  State,
  StepView,
  TightenedView,
  Typed,
  ValueView,
  Why,
} from './types.ts'

export { BrainFailure } from './failure.ts'
export { brainReady, brainStarts, startBrain } from './runtime.ts'

/** An entry as the brain takes it; `seq` null: this device's own, not seen in a pull yet. */
export interface FedEntry {
  text: string
  seq: number | null
}

export interface PreviewQuestion {
  build: string
  step: string
  place: string
  typed: Typed
  why: Why
  instrument: Instrument | null
  /** Today, as an ISO day: whether the instrument is past its calibration. */
  day: string
  /** The moment by this device's clock: whether a wait is over. */
  at: string
}

export interface JudgeQuestion {
  step: string
  engine: object
  readings: object
  limits: object
  instruments: object
}

export interface Judged {
  values: ValueView[]
  flags: Flag[]
  cautions: string[]
}

export interface EngineCheck {
  problems: { field: string; message: string }[]
  derived: { words: string; shown: string }[]
}

export interface Reckoned {
  name: string
  outputs: Record<string, { value: number; unit: string }>
}

export interface Brain {
  catalogue(): Promise<Catalogue>
  /** By whose names the views speak; for every book, until the brain is started anew. */
  people(people: { id: string; name: string }[]): Promise<void>
  /** Replaces that build's book. */
  open(build: string, entries: FedEntry[]): Promise<void>
  /** The same id again, now with its seq, just updates. */
  add(build: string, entries: FedEntry[]): Promise<void>
  close(build: string): Promise<void>
  state(build: string): Promise<State>
  step(build: string, step: string): Promise<StepView>
  hold(build: string, hold: string): Promise<HoldView>
  /** A `JointGuide` for a step of style "joint". */
  guide<T = Guide>(build: string, step: string): Promise<T>
  limits(build: string): Promise<LimitsView>
  tightened(build: string): Promise<TightenedView>
  /** What would follow if this were recorded; nothing is stored. */
  preview(question: PreviewQuestion): Promise<Preview>
  /** The same at once, so that digits and verdict are drawn together; null where something has to come first. */
  previewNow(question: PreviewQuestion): Preview | null
  /** By the instruments' ids, on an ISO day. */
  gauges(instruments: Instrument[], day: string): Promise<Record<string, GaugeNote>>
  places(step: string, engine: object): Promise<PlaceView[]>
  judge(question: JudgeQuestion): Promise<Judged>
  /** Throws what the server would hold the entry back for. */
  checkEntry(text: string): Promise<void>
  checkEngine(fields: Record<string, unknown>): Promise<EngineCheck>
  /** A defaults table that is not the brain's own. */
  useLimits(sha256: string, text: string): Promise<void>
  reckon(name: string, inputs: Record<string, unknown>): Promise<Reckoned>
  /** The page of the calculators, asked with JSON text. */
  reckonPage<T>(question: string): Promise<T>
}

let keepOpen: (build: string) => Promise<void> = async () => {}
let isWhole: (build: string) => boolean = () => false

/**
 * `bring` is awaited before each question about a build: it sees to it that the build's book is open and whole.
 * `whole`: whether it would find nothing to do.
 */
export function beforeAsking(
  bring: (build: string) => Promise<void>,
  whole: (build: string) => boolean = () => false,
): void {
  keepOpen = bring
  isWhole = whole
}

async function askAbout<T>(build: string, name: string, question: object): Promise<T> {
  await keepOpen(build)
  return ask(name, question)
}

/** For calls whose answer carries nothing. */
async function tell(name: string, question: object): Promise<void> {
  await ask(name, question)
}

/**
 * Entries as one text, which the brain reads once. A text that does not come out whole must not take the others along:
 * then they go one by one.
 */
async function feed(name: 'open' | 'add', build: string, entries: FedEntry[]): Promise<void> {
  try {
    await askText(name, feedText(build, entries))
  } catch (error) {
    if (!(error instanceof BrainFailure && NOT_WHOLE.has(error.code))) throw error
    await tell(name, { build, entries })
  }
}

/** The last preview that was given at once, and after how many calls. */
let last = { asked: '', calls: -1, preview: null as Preview | null }
/** Of an ISO moment, the minute: what is timed, is so by the minute. */
const MINUTE = 16

/**
 * What the last key was told Next need not ask again: the same question, nothing else heard since, and nothing in the
 * answer that a later moment could take back.
 */
function previewed(question: PreviewQuestion): Preview | null {
  const asked = JSON.stringify({ ...question, at: question.at.slice(0, MINUTE) })
  if (last.asked !== asked || last.calls !== callsSoFar() || last.preview?.slips.length) {
    const preview = askNow<Preview>('preview', question)
    last = { asked, calls: callsSoFar(), preview }
  }
  return last.preview
}

const NOT_WHOLE = new Set(['json_broken', 'entries_uncounted'])

export const brain: Brain = {
  catalogue: () => ask('catalogue', {}),
  people: (people) => tell('people', { people }),
  open: (build, entries) => feed('open', build, entries),
  add: (build, entries) => feed('add', build, entries),
  close: (build) => tell('close', { build }),
  state: (build) => askAbout(build, 'state', { build }),
  step: (build, step) => askAbout(build, 'step', { build, step }),
  hold: (build, hold) => askAbout(build, 'hold', { build, hold }),
  guide: (build, step) => askAbout(build, 'guide', { build, step }),
  limits: (build) => askAbout(build, 'limits', { build }),
  tightened: (build) => askAbout(build, 'tightened', { build }),
  preview: (question) => askAbout(question.build, 'preview', question),
  previewNow: (question) => (isWhole(question.build) ? previewed(question) : null),
  gauges: async (instruments, day) =>
    (await ask<{ notes: Record<string, GaugeNote> }>('gauges', { instruments, day })).notes,
  places: async (step, engine) =>
    (await ask<{ places: PlaceView[] }>('places', { step, engine })).places,
  judge: (question) => ask('judge', question),
  checkEntry: (text) => tell('check_entry', { text }),
  checkEngine: (fields) => ask('check_engine', { fields }),
  useLimits: (sha256, text) => tell('use_limits', { sha256, text }),
  reckon: (name, inputs) => ask('reckon', { name, inputs }),
  reckonPage: (question) => askText('reckon_page', question),
}
