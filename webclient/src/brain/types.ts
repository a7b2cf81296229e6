/**
 * What the brain (the trade package, Python) answers, as the screens see it.
 *
 * Every text here is ready to be shown: rounded, with its unit, in the words of the trade. Screens place
 * it; they never compute with it. Identifiers (`id`, `step`, `place`) never reach a screen.
 */

export type Severity = 'STOP' | 'HOLD' | 'WARN' | 'NOTE'
export type StepState =
  | 'not started'
  | 'in work'
  | 'measured'
  | 'accepted'
  | 're-check needed'
  | 'accepted by lead'
export type VerdictWord =
  | 'in'
  | 'in, close'
  | 'too close, measure again'
  | 'out'
  | 'abort'
  | 'shown'
  | 'cannot judge'
export type Why =
  | 'first'
  | 'repeat'
  | 'second_person'
  | 'measured_again'
  | 'typed_wrong'
  | 'part_changed'
export type Style = 'grid' | 'guided' | 'joint' | 'goes'
export type PlaceKind =
  | 'count'
  | 'length'
  | 'temperature'
  | 'torque'
  | 'angle'
  | 'turns'
  | 'choice'
  | 'flag'
  | 'text'
  | 'wrench'

export interface BrainError {
  code: string
  message: string
  details: Record<string, unknown>
}

/** What was typed: the stored truth. `unit` is null for choices, flags ("yes"/"no") and free text. */
export interface Typed {
  text: string
  unit: string | null
}

/** A value as a screen shows it. `words` holds both units: "2.5758 in (65.425 mm)". */
export interface Shown extends Typed {
  echo: string
  words: string
}

export interface Instrument {
  id: string
  kind: string
  name: string
  step: Typed
  trust: Typed
  dial: boolean
  /** ISO date, or null where it has none. */
  calibration_due: string | null
  /** Of a torque wrench: from where to where it reads, its band in percent, and that it was pulled too often. */
  range_low?: Typed
  range_high?: Typed
  band?: string
  used_up?: boolean
}

/** What to know of an instrument before it is taken. */
export interface GaugeNote {
  words: string
  check: string
  severity: Severity | null
  overdue: string | null
}

/** `tap`: one line and one tap when the hand is about to act; `fold`: under "more", never a tap. */
export interface Caution {
  id: string
  line: string
  level: 'tap' | 'fold'
  /** The place of a joint's questions before which it stands. */
  at: string | null
}

export interface Choice {
  id: string
  words: string
}

export interface Flag {
  id: string
  severity: Severity
  step: string | null
  /** The value or place it speaks about. */
  about: string
  /** A place to go to, when there is one. */
  place: string | null
  /** One plain sentence: what, by which limit, what to do. */
  words: string
  sort:
    | 'out'
    | 'too close'
    | 'close'
    | 'slip'
    | 'disagree'
    | 'asked again'
    | 'not measured'
    | 'no card'
    | 'instrument'
    | 'order'
    | 'engine'
    | 'missing'
    | 'joint'
    | 'wait'
  /** "found so: …" or "accepted by lead: …"; null while nobody answered. */
  answer: string | null
  /** A lead's decision is (still) wanted. */
  open: boolean
}

export interface SignedView {
  entry: string
  person: string
  at: string
}

export interface StepSummary {
  id: string
  title: string
  style: Style
  state: StepState
  filled: number
  of: number
  /** Titles of needed steps that are not accepted yet. Work may go on; it is flagged. */
  waits_for: string[]
  worst: Flag | null
  next: { place: string; words: string } | null
  signed: SignedView | null
  /** How many pictures the step has. */
  photos: number
}

export interface StageView {
  id: string
  title: string
  steps: StepSummary[]
}

export type HoldState = 'waiting' | 'ready to sign' | 'half signed' | 'signed' | 're-check needed'

/** One of the two who sign a Hold. */
export interface HoldSigner {
  signs_as: string
  words: string
  /** Who may, by role. */
  roles: string[]
  /** May be signed away from the engine. */
  away: boolean
  /** `where`: ", away from the engine", or nothing. */
  signed: (SignedView & { where: string }) | null
}

export interface HoldSummary {
  id: string
  /** "Hold 1, parts accepted" */
  name: string
  /** What may not begin before it. */
  before: string
  state: HoldState
  /** Ways to sign that are wanted now. */
  waits_for: string[]
  signers: HoldSigner[]
}

export interface HoldLine {
  no: number
  /** What the signers answer for; "" where the steps hold it all. */
  asks: string
  steps: { id: string; title: string; state: StepState }[]
  answers: { person: string; answer: LineAnswer; note: string; words: string }[]
}

export type LineAnswer = 'done' | 'not_in_job'

export interface HoldView extends HoldSummary {
  build: string
  cautions: Caution[]
  looks_at: string
  /** When it cannot be signed, and when it falls. */
  barred: string
  falls: string
  lines: HoldLine[]
  /** Who cannot sign in which way, with the reason in words. */
  not_them: { person: string; signs_as: string; words: string }[]
  history: { entry: string; words: string; at: string }[]
  sign: { ready: boolean; missing: string[]; uses: string[]; steps: string[]; shown: string }
}

export interface EngineFieldView {
  field: string
  words: string
  /** As shown: "4.125 in (104.78 mm)", "1-8-4-3-6-5-7-2", "iron". */
  shown: string
  entry: string
  person: string
  at: string
}

export interface State {
  build: string
  job: string
  title: string
  note: string
  count: number
  last_touch: { at: string; person: string; words: string } | null
  engine: EngineFieldView[]
  limits: {
    frozen: string | null
    defaults_sha256: string | null
    /** The frozen defaults are not the ones that this brain carries: `use_limits` wants that blob. */
    needs_blob: boolean
    cards: { id: string; version: number; title: string }[]
  }
  stages: StageView[]
  /** Those whose work this book holds, in the order of the build. */
  holds: HoldSummary[]
  /** Worst first. */
  flags: Flag[]
  /** Pictures of the engine as a whole; those of a step are in its view. */
  photos: PhotoView[]
  next: { step: string; place: string; words: string } | null
}

export interface ReadingView {
  id: string
  seq: number | null
  why: Why
  why_words: string
  shown: Shown | null
  /** "Not measured, because …" */
  not_measured: string | null
  person: string
  made_at: string
  instrument: string | null
  note: string
  live: boolean
  /** The accepted value rests on it. */
  used: boolean
  /** Ink: why it is struck out ("typed wrong, replaced", "struck out by …: …"); null while live. */
  struck: string | null
}

/** A picture that somebody took of the engine, of a step or of a place. */
export interface PhotoView {
  entry: string
  /** Its address: hash of the bytes as the phone stored them. */
  sha256: string
  width: number
  height: number
  caption: string
  step: string | null
  place: string | null
  person: string
  made_at: string
  /** Ink: by whom and why it is struck out; null while live. */
  struck: string | null
}

export interface PlaceView {
  id: string
  words: string
  /** Short form inside its group, for a column or key: "upright", "front, across the throw". */
  short: string
  group: string
  kind: PlaceKind
  set_or_found: 'set' | 'found'
  required: boolean
  unit: string | null
  units: string[]
  /** Kinds of instrument that fit here, best first; none where no gauge is asked for. */
  gauges: string[]
  choices: Choice[]
  accepted: Shown | null
  readings: ReadingView[]
  disagree: boolean
  /** The lead asks for a new measurement: his reason. */
  asked_again: string | null
  not_measured: string | null
  /** The reason to record the next reading with: first, repeat, measured_again … */
  next_why: Why
  /** "Expected about 2.5760 in" – never filled in by itself. */
  hint: string | null
  /** Read without a look at what was read before or elsewhere: a second reading, a second person's. */
  blind?: boolean
}

/** A bar for the eye: everything in 0…1 of the bar's width; null where that end has no limit. */
export interface Bar {
  low: number | null
  high: number | null
  value: number | null
}

export interface LimitView {
  id: string
  words: string
  low: Shown | null
  high: Shown | null
  /** "0.0020 to 0.0030 in" */
  band: string
  /** "spec card: Main bearing sheet, version 1" or "shop default (common practice)". */
  source: string
  /** The card that gives it, whose pictures may be looked at; null for a shop default. */
  card: string | null
  kind: 'hurts' | 'quality' | 'info'
  severity: Severity
  verdict: VerdictWord
  /** "Trusted to ±0.0002 in (two instruments)". */
  trust: string
  bar: Bar
}

export interface LeadAcceptance {
  entry: string
  person: string
  at: string
  reason: string
}

export interface ValueView {
  id: string
  words: string
  /** Short form inside its group: "oil clearance". */
  short: string
  group: string | null
  shown: Shown | null
  verdict: VerdictWord
  severity: Severity | null
  /** One plain sentence with limit, source and what to do next. */
  sentence: string
  missing: string[]
  uses: string[]
  limits: LimitView[]
  accepted_by_lead: LeadAcceptance | null
}

export interface GroupView {
  id: string
  words: string
  /** Seldom needed, and nothing stands there yet: folded away. */
  aside: boolean
  places: PlaceView[]
  values: ValueView[]
}

export interface StepView {
  build: string
  id: string
  title: string
  purpose: string
  style: Style
  state: StepState
  filled: number
  of: number
  waits_for: string[]
  /** Kinds of instrument that fit, best first, as in `Instrument.kind`. */
  instrument_kinds: string[]
  cautions: Caution[]
  sources: string[]
  groups: GroupView[]
  /** Values over the whole family: spreads, alignment. */
  values: ValueView[]
  flags: Flag[]
  /** Place ids in walking order. */
  walk: string[]
  /** Next empty required place, or one that the lead asked again. */
  next: string | null
  sign: {
    ready: boolean
    /** Why it cannot be signed yet, in words. */
    missing: string[]
    /** Ids of the readings it rests on: goes into the signature's body. */
    uses: string[]
    /** Canonical text of what is shown (values, verdicts, limits): its sha256 goes into the signature, the text into a blob. */
    shown: string
  }
  signed: SignedView | null
  photos: PhotoView[]
}

/** Cards in force and how each limit came to be, the latest change first. */
export interface LimitsView {
  /** The entry that froze them. */
  frozen: string | null
  cards: {
    id: string
    title: string
    version: number
    rows: { key: string; words: string; band: string }[]
  }[]
  changes: {
    entry: string
    words: string
    /** With their source. */
    was: string
    now: string
    person: string
    at: string
    reason: string
  }[]
  /** What holds today of each limit that a card can give, with its source; by its key. */
  in_force: Record<string, string>
}

/** Who tightened what with which wrench. */
export interface TightenedView {
  groups: {
    person: string
    wrench: string
    /** Its calibration date. */
    due: string | null
    lines: {
      entry: string
      step: string
      words: string
      shown: Shown
      at: string
      why: string
      note: string
      struck: string | null
    }[]
  }[]
}

/** So many minutes from a moment of the device's clock. */
export interface Wait {
  since: string
  minutes: number
}

export interface Slip {
  id: string
  /** "Exactly one turn (0.025 in) away: re-read the sleeve." */
  message: string
  /** "Did you mean 2.5758?" – offered, never applied by itself. */
  offer: Typed | null
  /** "wait": asked because a wait is not over, which is `wait` where the clocks tell; "joint": it must not be. */
  sort?: 'slip' | 'wait' | 'joint'
  wait?: Wait | null
}

/** What would follow if this were recorded. Nothing is stored. */
export interface Preview {
  /** Not null: it cannot be recorded as it stands; the sentence says what to do. */
  error: BrainError | null
  value: Shown | null
  slips: Slip[]
  /** The values that this reading touches, judged with it. */
  values: ValueView[]
  /** Worst of `values`. */
  verdict: VerdictWord | null
  severity: Severity | null
  sentence: string
  /** True: before recording ask "measure again" or "found so, with a note". */
  ask: boolean
  /** One step of the gauge less and more, as the pad's keys would type it; null where nothing is measured. */
  steps: { by: string; less: Typed | null; more: Typed | null } | null
}

export interface GuideValve {
  place: string
  words: string
  angle: string
  state: 'done' | 'next' | 'open' | "couldn't"
  flag: Severity | null
  /** Why it could not be set. */
  reason: string | null
}

export interface Guide {
  step: string
  /** Chosen method in words; null: choose one of `methods` first (a place of kind choice). */
  method: string | null
  methods: { id: string; words: string; refused: string | null }[]
  refused: string | null
  now: {
    place: string
    /** "Set INTAKE 2" */
    set: string
    /** "when EXHAUST 2 just starts to open" */
    when: string
    /** "crank 22° of 720° after 1 fires" */
    angle: string
    /** What the key "Set" keeps. */
    target: Shown
    /** "0.016 in cold", "1/2 turn" */
    large: string
    /** "0.015 to 0.017 in" */
    band: string
    hint: string | null
    act: 'set' | 'measure'
  } | null
  done: number
  of: number
  list: GuideValve[]
  /** Valves as they lie, a row per bank, front first. */
  plan: { bank: string; cylinders: { number: number; intake: GuideValve; exhaust: GuideValve }[] }[]
  /** A wait before a place is answered: after what, from a moment on, and why. */
  wait: (Wait & { place: string; after: string; words: string }) | null
  /** What follows the last valve: "Turn the engine slowly by hand twice through 720° …". */
  after: string | null
}

/** What a step of style "joint" has instead of a `Guide`. */
export interface JointGuide {
  step: string
  /** Place of the setup that wants its answer before any wrench goes on. */
  ask: string | null
  setup: { place: string; words: string; shown: string | null }[]
  joints: JointCard[]
  after: string
}

export interface JointCard {
  id: string
  words: string
  /** What the hand does next; null: nothing left, or `stuck` says why. */
  now: JointAct | null
  stuck: string | null
  /** "Tightened by …", "Checked by …" */
  who: string[]
  /** Numbers of the fasteners in tightening order. */
  order: string[]
  /** x 0…1 from the front, y 0…1 across; `sides`: what lies above and below. */
  plan: { fasteners: JointFastener[]; sides: [string, string] } | null
  done: boolean
  /** "Something felt wrong": which fastener, what it did. */
  felt: { fasteners: { place: string; words: string }[]; choices: Choice[] }
}

export interface JointFastener {
  number: string
  words: string
  x: number
  y: number
  state: 'done' | 'next' | 'open' | 'wrong'
  turn: number
}

export interface JointKey {
  text: string
  words: string
  /** How many fasteners the torque wrench pulled for it. */
  pulls: number
}

/** An act at a joint: each key writes its text at the place. */
export interface JointAct {
  place: string
  title: string
  lines: string[]
  keys: JointKey[]
  setting: Shown | null
  /** What the setting is at the fastener. */
  under: string
  /** "with engine oil": a torque holds for no other; "" where no wrench goes on. */
  lubricant: string
  next: string | null
  /** For who taps fastener by fastener. */
  step_key: JointKey | null
  /** Persons (ids) who may not do it: those who tightened. */
  not_by: string[]
  /** Not before so many minutes after that moment. */
  wait: Wait | null
  number: string | null
}

/** Two places across the stem, as shares of its diameter from the inboard edge. */
export type Across = [number, number] | null

/** What the last go of the checking pushrod says. */
export interface GoCard {
  /** "Cylinder 1 intake, go 2" */
  words: string
  way: 'longer' | 'shorter' | 'up' | 'down' | 'good' | 'stop'
  /** "2 turns longer" */
  say: string
  to: string | null
  out: string
  why: string
  tip: {
    flat: Across
    mark: Across
    predicted: Across
    margin: Across
    stem_words: string
    mark_words: string
    margin_words: string
    predicted_words: string
  } | null
  readings: { words: string; shown: string }[]
  goes: { number: number; length: string; mark: string; says: string }[]
}

/** A step of goes: what to read next, and what the goes so far say. */
export interface Goes {
  step: string
  methods: Guide['methods']
  refused: string | null
  /** The place to read next; null when all are there. */
  now: string | null
  /** That place begins a new stretch: the card is looked at first. */
  begins: boolean
  /** "Next: go 2" */
  key: string
  card: GoCard | null
  done: number
  of: number
  order: { words: string; shown: string; why: string }[]
}

export interface EngineField {
  field: string
  words: string
  kind:
    | 'length'
    | 'angle'
    | 'speed'
    | 'count'
    | 'ratio'
    | 'time'
    | 'choice'
    | 'order'
    | 'pairs'
    | 'table'
    | 'flag'
  required: boolean
  unit: string | null
  units: string[]
  choices: Choice[]
  help: string
  /** Only asked when these hold, e.g. {"layout": ["V"]}. */
  when: Record<string, string[]>
}

export interface CatalogueStep {
  id: string
  title: string
  stage: string
  purpose: string
  style: Style
  needs: string[]
  instrument_kinds: string[]
  cautions: Caution[]
  sources: string[]
}

export interface Catalogue {
  trade_version: string
  limits_sha256: string
  stages: { id: string; title: string }[]
  steps: CatalogueStep[]
  holds: { id: string; name: string; before: string; signers: string[]; in_this_book: boolean }[]
  engine_fields: EngineField[]
  instrument_kinds: {
    kind: string
    words: string
    step: Typed
    trust: Typed
    dial: boolean
    /** Units that one of this kind may read in. */
    units: string[]
    check: string
    torque: boolean
  }[]
  not_measured_reasons: string[]
  /** unit -> how a key shows it: {"in": "in", "thou": "thou (0.001 in)", "degC": "°C"} */
  unit_words: Record<string, string>
  /** Limits that a part maker's card can give. */
  card_rows: { key: string; words: string; unit: string }[]
  severities: Severity[]
}
