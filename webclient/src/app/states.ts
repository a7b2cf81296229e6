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
import { refreshViews } from './views.ts'

const states = new Map<string, Signal<State | null>>()
const known = signal<string[]>([])
/** Builds whose state is to be reckoned, next one first. */
let waiting: string[] = []
let reckoning = false

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

function breathe(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, 0))
}

async function reckonWaiting(): Promise<void> {
  for (let build = waiting.shift(); build !== undefined; build = waiting.shift()) {
    try {
      await refreshViews(build)
      await breathe()
      await reckon(build)
    } catch (error) {
      trouble.value = error as Error
    }
  }
  reckoning = false
}

function wantReckoned(changed: string[]): void {
  waiting = [...changed, ...waiting.filter((build) => !changed.includes(build))]
  if (reckoning) return
  reckoning = true
  void reckonWaiting()
}

async function follow(change: Change): Promise<void> {
  wantReckoned(change.all ? await builds() : change.builds)
}

/** Shows what was kept, and lists what it no longer fits. */
export async function recallStates(): Promise<() => void> {
  const kept = await summaries.loadAll(await tradeVersion())
  for (const { build, state } of kept.summaries) buildState(build).value = state as State
  known.value = kept.summaries.map((summary) => summary.build).sort()
  onChange((change) => void follow(change))
  return () => wantReckoned(kept.stale)
}
