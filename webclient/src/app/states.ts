/**
 * The state of every build in the book: the last one kept at once, then the brain's, and fresh after each
 * change. The builds that changed last come first; the page gets to breathe between two.
 */
import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals'
import { brain } from '../brain/brain.ts'
import type { State } from '../brain/types.ts'
import { builds, type Change, markOf, onChange, summaries } from '../store/index.ts'
import { fetchBlob } from '../sync/index.ts'
import { tradeVersion } from './catalogue.ts'
import { trouble } from './trouble.ts'
import { refreshViews, somebodyLooks } from './views.ts'

const states = new Map<string, Signal<State | null>>()
const known = signal<string[]>([])
/** Builds whose state is to be reckoned, next one first. */
let waiting: string[] = []
let reckoning = false
let changedAt = Number.NEGATIVE_INFINITY

/** Between two readings of a quick hand. */
const REST_MS = 600
const GATHER_MS = 50

/** A build's state; null while nothing is known of it. */
export function buildState(build: string): Signal<State | null> {
  const state = states.get(build) ?? signal<State | null>(null)
  states.set(build, state)
  return state
}

/** All builds in the book that have been judged at least once, oldest first. */
export const engines: ReadonlySignal<State[]> = computed(() =>
  known.value.map((build) => buildState(build).value).filter((state) => state !== null),
)

/** The limits a build was frozen with may be another table than the brain's own. */
async function withLimits(state: State): Promise<State> {
  const { needs_blob, defaults_sha256 } = state.limits
  if (!needs_blob || !defaults_sha256) return state
  const text = await fetchBlob(defaults_sha256).catch(() => null)
  if (text === null) return state
  await brain.useLimits(defaults_sha256, text)
  return brain.state(state.build)
}

async function reckon(build: string): Promise<void> {
  const mark = await markOf(build)
  const state = await withLimits(await brain.state(build))
  buildState(build).value = state
  if (!known.value.includes(build)) known.value = [...known.value, build].sort()
  await summaries.save({ build, mark, trade_version: await tradeVersion(), state })
}

function wait(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms))
}

/**
 * A whole state takes as long as a few key presses: it waits until the thumb rests, and a pull of many pages is
 * reckoned once, not page by page.
 */
async function calm(): Promise<void> {
  for (;;) {
    const rest = changedAt + (somebodyLooks() ? REST_MS : GATHER_MS) - performance.now()
    if (rest <= 0) return
    await wait(rest)
  }
}

async function reckonWaiting(): Promise<void> {
  for (;;) {
    await calm()
    const build = waiting.shift()
    if (build === undefined) break
    await reckon(build).catch(complain)
    await wait(0)
  }
  reckoning = false
}

function complain(error: unknown): void {
  trouble.value = error as Error
}

function wantReckoned(changed: string[]): void {
  waiting = [...changed, ...waiting.filter((build) => !changed.includes(build))]
  if (reckoning) return
  reckoning = true
  void reckonWaiting()
}

/** Steps in sight first, then the states. */
async function follow(change: Change): Promise<void> {
  changedAt = performance.now()
  const changed = change.all ? await builds() : change.builds
  for (const build of changed) await refreshViews(build)
  wantReckoned(changed)
}

/** Shows what was kept, and gives what reckons anew where that no longer fits the book. */
export async function recallStates(): Promise<() => Promise<void>> {
  const kept = await summaries.all()
  for (const { build, state } of kept) buildState(build).value = state as State
  known.value = kept.map((summary) => summary.build).sort()
  onChange((change) => void follow(change).catch(complain))
  return async () => wantReckoned(await summaries.stale(kept, await tradeVersion()))
}
