/**
 * One place, one value: what is typed, what the brain says of it, what has to be asked, and keeping it.
 *
 * Every keystroke is a draft on the disk before anything else; nothing here changes a digit by itself.
 */
import { batch, signal } from '@preact/signals'
import type { Instrument, PlaceKind, PlaceView, Preview, Typed } from '../brain/types.ts'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { Ahead } from './ahead.ts'
import type { Around, Kept, Question, Reason } from './around.ts'
import { Answers, type Ask, firstAsk, OUT } from './asks.ts'
import { draftKey, type Half, readHalf, writeHalf } from './half.ts'
import { Latest } from './latest.ts'
import { type Key, press } from './pad.ts'
import { isAnswered } from './walk.ts'

const EMPTY: Trouble = {
  code: 'empty',
  message: 'Nothing is typed yet: type it, or skip it.',
}

export class Capture {
  readonly place = signal<PlaceView | null>(null)
  readonly text = signal('')
  readonly unit = signal<string | null>(null)
  readonly reason = signal<Reason | null>(null)
  readonly preview = signal<Preview | null>(null)
  readonly ask = signal<Ask | null>(null)
  readonly trouble = signal<Trouble | null>(null)
  readonly busy = signal(false)
  readonly kept = signal<Kept | null>(null)
  readonly tried = signal<string[]>([])
  /** The gauge in hand, by the kind of place that it measures. */
  private pulls: number | undefined
  /** What stands in the box was picked with a key and not typed. */
  private picked = false
  private readonly gauges: Partial<Record<PlaceKind, Instrument | null>> = {}
  private readonly answers = new Answers()
  private readonly latest: Latest<Question, Preview>
  private saving: Promise<unknown> = Promise.resolve()
  private readonly ahead = new Ahead()

  constructor(private readonly around: Around) {
    this.latest = new Latest(
      (question) => around.preview(question, this.gauge()),
      (question, preview) => this.shows(question, preview),
      () => undefined, // The sentence comes when the value is to be kept; a key press is no time for it.
    )
  }

  /** Stands on `place`, with its half-typed digits where there are some. */
  async open(place: PlaceView): Promise<void> {
    const half = readHalf(await this.around.loadDraft(this.draft(place)))
    const unit = half?.unit ?? (await this.around.unitFor(place))
    batch(() => {
      this.place.value = place
      this.set(half?.text ?? '', unit)
      this.tried.value = half?.tried ?? []
      for (const answer of half?.answered ?? [])
        this.answers.add(place.id, { text: half?.text ?? '', unit }, answer)
      this.reason.value = null
    })
    this.judgeSoon()
  }

  /** The view was drawn anew: same place, same digits, newer readings around it. */
  refresh(place: PlaceView): void {
    this.place.value = place
  }

  type(text: string): void {
    if (this.busy.value) {
      this.ahead.change(() => text)
      return
    }
    // Drawn once: digits and what the brain says of them, where it says it at once.
    batch(() => {
      this.picked = false
      this.set(text, this.unit.value)
      this.saveHalf()
      this.judgeSoon()
    })
  }

  /** A change of the box that came while it is busy: it is meant for the next place. */
  meanwhile(added: string | null): void {
    this.ahead.change((text) => (added === null ? text.slice(0, -1) : text + added))
  }

  /** A key of the pad. */
  press(key: Key): void {
    if (this.busy.value) this.ahead.change((text) => press(text, key))
    else this.type(press(this.text.value, key))
  }

  pickUnit(unit: string): void {
    this.set(this.text.value, unit)
    if (this.text.value !== '') this.saveHalf()
    this.judgeSoon()
  }

  useInstrument(instrument: Instrument | null, kind: PlaceKind = 'length'): void {
    this.gauges[kind] = instrument
    this.judgeSoon()
  }

  because(reason: Reason | null): void {
    this.reason.value = reason
    this.judgeSoon()
  }

  /** Keeps what is typed, unless something has to be asked first. */
  next(): Promise<void> {
    if (this.busy.value) this.ahead.next()
    return this.alone(() => this.offer({ text: this.text.value.trim(), unit: this.unit.value }, ''))
  }

  /**
   * Keeps a value that was picked and not typed: a choice, a yes, a set valve. `pulls`: what it took of the torque
   * wrench in hand.
   */
  put(typed: Typed, pulls?: number): Promise<void> {
    if (this.busy.value) return Promise.resolve()
    this.set(typed.text, typed.unit)
    this.pulls = pulls
    this.picked = true
    return this.alone(() => this.offer(typed, ''))
  }

  /** The same at the place that the thumb saw: what is kept moves on by itself, and another place may stand open. */
  async putAt(place: PlaceView, typed: Typed, pulls?: number): Promise<void> {
    if (this.busy.value) return
    if (this.place.value?.id !== place.id) await this.open(place)
    await this.put(typed, pulls)
  }

  /** "No, found so", with the note that an out-of-limits value wants. */
  foundSo(note: string): Promise<void> {
    const [ask, place] = [this.ask.value, this.place.value]
    const typed = { text: this.text.value.trim(), unit: this.unit.value }
    if (!ask || !place) return Promise.resolve()
    if (ask.about === 'unjudged') return this.alone(() => this.keep(typed, note, null))
    const answered = ask.about === 'slip' ? ask.slips.map(({ id }) => id) : [OUT]
    for (const answer of new Set(answered)) this.answers.add(place.id, typed, answer)
    this.ask.value = null
    this.saveHalf() // An answer outlives the page: nobody is asked twice about one number.
    return this.alone(() => this.offer(typed, note))
  }

  /** The question is left without an answer: typed digits stay in the box, what a key picked is picked anew. */
  leave(): void {
    this.ask.value = null
    if (!this.picked) return
    this.pulls = undefined
    this.set('', this.unit.value)
  }

  /** The offered digits go into the box because a thumb said so; Next keeps them. */
  takeOffer(offer: Typed): void {
    this.ask.value = null
    this.set(offer.text, offer.unit)
    this.saveHalf()
    this.judgeSoon()
  }

  /** The box is emptied for a new measurement; what was in it stays in sight. */
  measureAgain(): void {
    const before = this.text.value
    this.ask.value = null
    if (before !== '') this.tried.value = [...this.tried.value, before]
    this.set('', this.unit.value)
    this.saveHalf()
  }

  notMeasured(reason: string): Promise<void> {
    return this.alone(() =>
      this.keepBody({ value: null, not_measured: reason, note: '' }, reason, null),
    )
  }

  strikeOut(target: string, reason: string): Promise<void> {
    const place = this.place.value
    return this.alone(async () => {
      if (place) await this.around.strike(place.id, target, reason)
    })
  }

  /** A size, a torque, an angle and a temperature come each from a gauge of its own; an answer from none. */
  private gauge(): Instrument | null {
    const kind = this.place.value?.kind
    return (kind && this.gauges[kind]) ?? null
  }

  private pulled(): { pulls?: number; instrument?: Instrument | null } {
    const { pulls } = this
    if (!pulls) return pulls === undefined ? {} : { pulls }
    return { pulls, instrument: this.gauges.wrench ?? null }
  }

  private draft(place: PlaceView): string {
    return draftKey(this.around.build, this.around.step, place.id)
  }

  private set(text: string, unit: string | null): void {
    batch(() => {
      this.text.value = text
      this.unit.value = unit
      this.ask.value = null
      this.trouble.value = null
      if (text === '') this.preview.value = null
    })
  }

  private saveHalf(): void {
    const place = this.place.value
    if (!place) return
    const [text, unit] = [this.text.value, this.unit.value]
    // The answer to a limit goes with its note, and that is not here yet.
    const given = this.answers.of(place.id, { text: text.trim(), unit })
    const answered = given.filter((answer) => answer !== OUT)
    const half: Half = { text, unit, tried: this.tried.value, answered }
    const gone = half.text === '' && half.tried.length === 0
    const saved = gone
      ? this.around.dropDraft(this.draft(place))
      : this.around.saveDraft(this.draft(place), writeHalf(half))
    this.saving = saved.catch((failure) => {
      this.trouble.value = troubleOf(failure)
    })
  }

  private question(typed: Typed): Question | null {
    const place = this.place.value
    return place && { place: place.id, typed, why: this.reason.value?.why ?? place.next_why }
  }

  private judgeSoon(): void {
    const text = this.text.value.trim()
    const question = text === '' ? null : this.question({ text, unit: this.unit.value })
    if (!question) return
    const preview = this.judgedNow(question)
    if (preview) this.shows(question, preview)
    else this.latest.ask(question)
  }

  /** Null where the brain cannot answer at once, or fails: it is asked in the usual way then. */
  private judgedNow(question: Question): Preview | null {
    try {
      return this.around.previewNow(question, this.gauge())
    } catch {
      return null
    }
  }

  private shows(question: Question, preview: Preview): void {
    const same = question.place === this.place.value?.id
    if (same && question.typed.text === this.text.value.trim()) this.preview.value = preview
  }

  private async alone(work: () => Promise<void>): Promise<void> {
    if (this.busy.value) return
    const kept = this.kept.value
    this.busy.value = true
    try {
      await work()
    } catch (failure) {
      this.trouble.value = troubleOf(failure)
    } finally {
      this.busy.value = false
      await this.catchUp(kept !== this.kept.value)
    }
  }

  /** What was typed meanwhile lands in the box that now stands open; after a question it is let go, and without a box. */
  private async catchUp(moved: boolean): Promise<void> {
    const place = this.place.value
    if (!moved || place === null || isAnswered(place)) this.ahead.forget()
    const { text, enter } = this.ahead.take()
    if (text === '') return
    this.type(this.text.value + text)
    if (enter) await this.next()
  }

  private async offer(typed: Typed, note: string): Promise<void> {
    const question = this.question(typed)
    if (!question || typed.text === '') {
      this.trouble.value = EMPTY
      return
    }
    const preview = await this.judge(question)
    if (preview === null) return
    if (preview.error) this.trouble.value = preview.error
    else await this.askOrKeep(typed, note, preview)
  }

  private async judge(question: Question): Promise<Preview | null> {
    try {
      // At once where it can be: a wait would stand between the tap and the disk.
      const preview =
        this.judgedNow(question) ?? (await this.around.preview(question, this.gauge()))
      this.shows(question, preview)
      return preview
    } catch (failure) {
      this.ask.value = { about: 'unjudged', sentence: troubleOf(failure).message }
      return null
    }
  }

  private async askOrKeep(typed: Typed, note: string, preview: Preview): Promise<void> {
    const place = this.place.value
    const ask = place
      ? firstAsk(preview, this.answers.of(place.id, typed), this.around.bad())
      : null
    if (ask) this.ask.value = ask
    else await this.keep(typed, note, preview)
  }

  private keep(typed: Typed, note: string, preview: Preview | null): Promise<void> {
    const words = typed.unit === null ? (preview?.value?.words ?? typed.text) : typed.text
    return this.keepBody({ value: typed, not_measured: null, note }, words, preview)
  }

  private async keepBody(body: object, words: string, preview: Preview | null): Promise<void> {
    const place = this.place.value
    if (!place) return
    const { why, corrects } = this.reason.value ?? { why: place.next_why, corrects: null }
    const typed = { text: this.text.value.trim(), unit: this.unit.value }
    const more = { confirmed: this.answers.of(place.id, typed), cautions: this.around.cautions() }
    const full = { v: 1, ...body, instrument: this.gauge(), corrects, ...more, ...this.pulled() }
    await this.saving // A draft written after the reading would bring its digits back.
    await this.around.keep({ place: place.id, why, body: full, draft: this.draft(place) })
    this.kept.value = { place: place.id, words, unit: preview ? typed.unit : null, preview }
    this.tried.value = []
    this.reason.value = null
    this.pulls = undefined
    this.set('', this.unit.value)
    await this.around.kept(place.id)
  }
}
