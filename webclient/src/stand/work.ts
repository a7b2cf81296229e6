/**
 * A step under the hand: which place is open, with which gauge, which cautions were tapped; and how a reading
 * gets from the pad into the book.
 */
import { signal } from '@preact/signals'
import type { Instrument, PlaceKind, PlaceView, StepView } from '../brain/types.ts'
import { buzz, say } from '../parts/feel.ts'
import { brain, draft, instruments, recall, remember } from '../parts/seam.ts'
import { hand, keepForSpell, ofThisSpell, stillHere } from '../parts/spell.ts'
import { troubleOf } from '../parts/trouble.ts'
import { day } from '../parts/when.ts'
import { enter } from '../parts/write.ts'
import type { ReadingToKeep } from './around.ts'
import { isBad } from './asks.ts'
import { Capture } from './capture.ts'
import { cautionBefore, Tapped } from './cautions.ts'
import { JustKept } from './justkept.ts'
import { readBack } from './readback.ts'
import { emptyTemperature, nextPlace, placesOf, reopenOn, valuesThat } from './walk.ts'

/** Undefined: not asked in this spell. Null: one that is not on the list. */
type Gauge = Instrument | null | undefined

/** Sizes by the gauges that the step names; a torque, an angle or a temperature by the same ones in every step. */
const gaugeKey = (view: StepView, kind: PlaceKind) =>
  kind === 'length' ? `gauge/${view.instrument_kinds.join('+')}` : `gauge/${kind}`
const GAUGED: PlaceKind[] = ['length', 'torque', 'angle', 'temperature', 'wrench']

/** When the brain is asked: it counts waits, and knows what is overdue. */
function thisMoment(): { day: string; at: string } {
  return { day: day(), at: new Date().toISOString() }
}

export class Work {
  readonly capture: Capture
  readonly tapped: Tapped
  readonly gauges = signal<Partial<Record<PlaceKind, Gauge>>>({})
  /** True once the page knows where to stand. */
  readonly ready = signal(false)
  /** A guided place was picked by hand: it stands open with the pad until it is kept. */
  readonly byHand = signal(false)
  /** A part was changed: which places are empty again only the newer view says. */
  readonly anew = signal(false)
  view: StepView | null = null
  /** Places through which the guide leads by itself, whatever their order in the table. */
  private led: Set<string> = new Set()
  private readonly just = new JustKept()
  private card: PlaceView | null = null
  private typing: Promise<unknown> = Promise.resolve()

  constructor(
    readonly build: string,
    readonly step: string,
  ) {
    this.tapped = new Tapped(build, step)
    this.capture = new Capture({
      build,
      step,
      preview: (question, instrument) =>
        brain.preview({ build, step, ...question, instrument, ...thisMoment() }),
      previewNow: (question, instrument) =>
        brain.previewNow({ build, step, ...question, instrument, ...thisMoment() }),
      keep: (reading) => this.keep(reading),
      strike: (place, target, reason) => this.strike(place, target, reason),
      saveDraft: draft.save,
      loadDraft: draft.load,
      dropDraft: draft.drop,
      unitFor: (place) => this.usualUnit(place),
      cautions: () => this.tapped.ids.value ?? [],
      bad: () => (this.view ? valuesThat(this.view, isBad) : []),
      kept: (place) => this.kept(place),
    })
  }

  /** Finds where to stand: the half-typed place, else the next empty one. */
  async start(view: StepView): Promise<void> {
    this.view = view
    await Promise.all([this.tapped.find(), ...GAUGED.map((kind) => this.findGauge(view, kind))])
    const prefix = `${this.build}/${this.step}/`
    const drafted = (await draft.keys(prefix)).map((key) => key.slice(prefix.length))
    const first = drafted.length > 0 ? null : await this.temperatureToAsk(view)
    await this.goTo(first ?? reopenOn(view, drafted))
    // Half a value is looked at with its box: on the card of a guide nobody would see it.
    this.byHand.value = view.style === 'guided' && drafted.length > 0
    this.ready.value = true
  }

  /** Room and part are asked for once in a spell at this engine, before the first size. */
  private async temperatureToAsk(view: StepView): Promise<string | null> {
    const place = view.style === 'grid' ? emptyTemperature(view) : null
    if (!place || (await ofThisSpell<true>(this.temperatureKey))) return null
    return place.id
  }

  private get temperatureKey(): string {
    return `temperature/${this.build}`
  }

  /** A newer view of the same step: the place stays, what is known of it is renewed. */
  refresh(view: StepView): void {
    this.view = view
    this.just.seen(view)
    this.anew.value = false
    const open = this.capture.place.value
    const place = open && placesOf(view).get(open.id)
    if (place) this.capture.refresh(place)
    else if (this.ready.value && open === null) void this.goTo(this.after(view, null))
  }

  async goTo(id: string | null): Promise<void> {
    const place = id === null ? undefined : this.view && placesOf(this.view).get(id)
    if (place) await this.capture.open(place)
    else this.capture.place.value = null
  }

  openByHand(id: string): void {
    this.byHand.value = true
    void this.goTo(id)
  }

  /** The guide leads through these places; one that leads nowhere leaves the walk to the table's order. */
  follow(places: string[]): void {
    this.led = new Set(places)
    if (places.length === 0 && this.view && this.ready.value) this.refresh(this.view)
  }

  /** A card stands that has no box: what is typed there is meant for this place. Gives how to take that back. */
  onCard(place: PlaceView | null): () => void {
    this.card = place
    return () => {
      if (this.card === place) this.card = null
    }
  }

  /** Opens the place of a card, in turn with what is typed on it: opened once more it would lose its digits. */
  standAt(place: PlaceView): void {
    this.inTurn(() => (this.capture.place.value?.id === place.id ? null : this.capture.open(place)))
  }

  private inTurn(act: () => unknown): void {
    this.typing = this.typing.then(act).catch((failure) => {
      this.capture.trouble.value = troubleOf(failure)
    })
  }

  /** A gauge types while a card stands; false where that card is done with, and the next one is not there yet. */
  typeOnCard(key: string): boolean {
    const place = this.card
    if (!place || this.capture.busy.value || this.just.ids.includes(place.id)) return false
    this.standAt(place)
    this.inTurn(() => {
      this.byHand.value = true
      this.capture.type(this.capture.text.value + key)
    })
    return true
  }

  /** Enter of a gauge whose digits came while a card stood. A caution wants its tap first: then the digits stay. */
  enter(): void {
    this.inTurn(() => {
      const at = this.capture.place.peek()?.id
      if (this.view && cautionBefore(this.view, this.tapped, at) === null) void this.capture.next()
    })
  }

  stray(digits: string): void {
    const message = `${digits} came while nothing was to be measured here: it is kept nowhere.`
    this.capture.trouble.value = { code: 'stray', message }
  }

  private async findGauge(view: StepView, kind: PlaceKind): Promise<void> {
    const id = await ofThisSpell<string>(gaugeKey(view, kind))
    if (id === null) return
    this.setGauge(instruments.value.find((one) => one.id === id) ?? null, kind)
  }

  async useGauge(instrument: Instrument | null, kind: PlaceKind): Promise<void> {
    this.setGauge(instrument, kind)
    if (this.view) await keepForSpell(gaugeKey(this.view, kind), instrument?.id ?? '')
  }

  async pickUnit(place: PlaceView, unit: string): Promise<void> {
    this.capture.pickUnit(unit)
    await remember(this.unitKey(place), unit)
  }

  /** Per engine and step: one shop has inch and metric engines side by side. */
  private unitKey(place: PlaceView): string {
    return `unit/${this.build}/${this.step}/${place.kind}`
  }

  private async usualUnit(place: PlaceView): Promise<string | null> {
    const usual = await recall<string>(this.unitKey(place))
    return usual !== null && place.units.includes(usual) ? usual : place.unit
  }

  private setGauge(instrument: Instrument | null, kind: PlaceKind): void {
    this.gauges.value = { ...this.gauges.value, [kind]: instrument }
    this.capture.useInstrument(instrument, kind)
  }

  private async keep({ place, why, body, draft: key }: ReadingToKeep): Promise<void> {
    const { build, step } = this
    await enter({ build, kind: 'reading', step, place, why, body, draft: key }, hand.value)
    this.anew.value = why === 'part_changed'
  }

  private strike(place: string, target: string, reason: string): Promise<unknown> {
    const { build, step } = this
    const body = { v: 1, target, reason }
    return enter({ build, kind: 'struck_out', step, place, why: null, body }, hand.value)
  }

  /**
   * After a go the newer view says how it goes on: the old one knows nothing of the next go. After a place that the
   * guide leads through, the newer guide does.
   */
  private after(view: StepView, from: string | null): string | null {
    const next = nextPlace(view, from, this.just.ids)
    if (next !== null && this.led.has(next)) return null
    if (view.style !== 'goes' || from === null || next === null) return next
    const places = placesOf(view)
    return places.get(next)?.group === places.get(from)?.group ? next : null
  }

  private async kept(place: string): Promise<void> {
    buzz()
    if (this.view) say(readBack(this.capture.kept.value, placesOf(this.view).get(place)))
    stillHere()
    this.byHand.value = false
    const open = this.capture.place.value
    if (open) this.just.add(open)
    const out = open?.kind === 'temperature'
    if (out) void keepForSpell(this.temperatureKey, true)
    // The temperature is asked out of its turn: the walk begins after it, it does not go on from there.
    // What follows the last valve stands after it in the table: a guided walk looks from the start.
    const from = out || this.view?.style === 'guided' ? null : place
    await this.goTo(this.view && !this.anew.value ? this.after(this.view, from) : null)
  }
}
