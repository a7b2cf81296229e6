/**
 * What screens look at, as signals: the last known view at once, the brain's as soon as it is up, fresh again
 * after each change. A view that nobody looks at is not reckoned.
 */
import { type Signal, signal } from '@preact/signals'
import { brain } from '../brain/brain.ts'
import type { Goes, Guide, HoldView, LimitsView, StepView, TightenedView } from '../brain/types.ts'
import { markOf, recall, remember } from '../store/index.ts'
import { tradeVersion } from './catalogue.ts'
import { trouble } from './trouble.ts'

interface Kept<T> {
  mark: string
  trade_version: string
  view: T
}

/** A quiet moment after the last change before a view is put aside for the next cold start. */
const KEEP_AFTER_MS = 500

class View<T> {
  readonly signal: Signal<T | null>
  private looked = 0
  private wanted = false
  private running: Promise<void> | null = null
  private timer: ReturnType<typeof setTimeout> | undefined

  constructor(
    readonly build: string,
    readonly name: string,
    private readonly reckon: () => Promise<T>,
  ) {
    this.signal = signal<T | null>(null, {
      watched: () => {
        this.looked += 1
        void this.show()
      },
      unwatched: () => {
        this.looked = 0
      },
    })
  }

  get watched(): boolean {
    return this.looked > 0
  }

  private async show(): Promise<void> {
    if (this.signal.peek() === null) await this.fromLast()
    await this.refresh()
  }

  /** The view as it was put aside, when the book has not changed since. */
  private async fromLast(): Promise<void> {
    const [kept, mark, version] = await Promise.all([
      recall<Kept<T>>(this.name),
      markOf(this.build),
      tradeVersion(),
    ])
    const fits = kept?.mark === mark && kept.trade_version === version
    if (kept && fits && this.signal.peek() === null) this.signal.value = kept.view
  }

  /** Reckons the view anew; a wish during a reckoning makes one more, however many wishes come. */
  async refresh(): Promise<void> {
    this.wanted = true
    this.running ??= this.runWanted()
    await this.running
  }

  private async runWanted(): Promise<void> {
    while (this.wanted) {
      this.wanted = false
      await this.reckonOnce()
    }
    this.running = null
  }

  private async reckonOnce(): Promise<void> {
    try {
      const mark = await markOf(this.build)
      const view = await this.reckon()
      this.signal.value = view
      trouble.value = null
      clearTimeout(this.timer)
      this.timer = setTimeout(() => void this.keep(mark, view), KEEP_AFTER_MS)
    } catch (error) {
      trouble.value = error as Error
    }
  }

  private async keep(mark: string, view: T): Promise<void> {
    const kept: Kept<T> = { mark, trade_version: await tradeVersion(), view }
    // Losing it costs a slower first picture and nothing else.
    await remember(this.name, kept).catch(() => undefined)
  }
}

const views = new Map<string, View<unknown>>()

function viewOf<T>(build: string, name: string, reckon: () => Promise<T>): Signal<T | null> {
  const known = (views.get(name) as View<T> | undefined) ?? new View(build, name, reckon)
  views.set(name, known as View<unknown>)
  return known.signal
}

/** One work step of a build with its places, values and verdicts. */
export function stepView(build: string, step: string): Signal<StepView | null> {
  return viewOf(build, `view/${build}/${step}`, () => brain.step(build, step))
}

/** The next instruction of a guided step, or of a step of joints. */
export function guideView<T = Guide>(build: string, step: string): Signal<T | null> {
  return viewOf(build, `guide/${build}/${step}`, () => brain.guide<T>(build, step))
}

/** The goes of the checking pushrod: the guide of a step of that style. */
export function goesView(build: string, step: string): Signal<Goes | null> {
  return guideView(build, step) as Signal<unknown> as Signal<Goes | null>
}

/** One Hold of a build: what it rests on, who signs. */
export function holdView(build: string, hold: string): Signal<HoldView | null> {
  return viewOf(build, `hold/${build}/${hold}`, () => brain.hold(build, hold))
}

/** The cards of a build and how each limit came to be. */
export function limitsView(build: string): Signal<LimitsView | null> {
  return viewOf(build, `limits/${build}`, () => brain.limits(build))
}

/** Who tightened what with which wrench. */
export function tightenedView(build: string): Signal<TightenedView | null> {
  return viewOf(build, `tightened/${build}`, () => brain.tightened(build))
}

/** True when somebody looks at a step: a thumb may be at work there. */
export function somebodyLooks(): boolean {
  return [...views.values()].some((view) => view.watched)
}

/** Reckons the views of a build that somebody looks at. */
export async function refreshViews(build: string): Promise<void> {
  for (const view of views.values()) {
    if (view.build === build && view.watched) await view.refresh()
  }
}
