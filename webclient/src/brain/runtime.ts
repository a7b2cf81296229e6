/**
 * Holds the one interpreter of this page: started on first use, started afresh after it broke down.
 */
import wasm from '@micropython/micropython-webassembly-pyscript/micropython.wasm?url'
import { signal } from '@preact/signals'
import pack from '../../generated/trade.pack?url'
import { BrainFailure, brokeDown, notThere } from './failure.ts'
import { type Call, type Loader, startHost } from './host.js'
import { startFrom } from './imprint.js'
import { dropImprint, type Imprint, lastImprint, type Makings, nameOf } from './imprints.ts'
import type { BrainError } from './types.ts'

/** True while the brain is up. Screens draw from the stored catalogue and last state before that. */
export const brainReady = signal(false)
/** Counts starts: a book opened under an earlier number is gone and has to be opened again. */
export const brainStarts = signal(0)

/** The first answer's mark in the page's timeline: by it a slow phone can be told from a slow start. */
const ANSWERED = 'brain answered'
let marked = false

export type Starter = () => Promise<Call>

async function bytesAt(address: string): Promise<Uint8Array> {
  const response = await fetch(address)
  if (!response.ok) throw new Error(`${address} answered ${response.status}`)
  return new Uint8Array(await response.arrayBuffer())
}

/** A page that has just come up has other things to do. */
const ASIDE_MS = 1_000

/** Has the imprint made for the next start. */
function imprintSoon(makings: Makings): void {
  setTimeout(() => {
    const aside = new Worker(new URL('./aside.ts', import.meta.url), { type: 'module' })
    aside.postMessage(makings)
  }, ASIDE_MS)
}

let imprintTrusted = true

async function fromImprint(load: Loader, { bytes }: Imprint): Promise<Call | null> {
  try {
    return await startFrom(load, wasm, bytes)
  } catch {
    await dropImprint()
    return null
  }
}

/** All files are precached with the page (one set), so this works without network. */
async function fromAssets(): Promise<Call> {
  const [{ loadMicroPython, address: script }, imprint] = await Promise.all([
    import('@micropython/micropython-webassembly-pyscript/micropython.mjs'),
    lastImprint(),
  ])
  const makings = script ? { script, wasm, pack } : null
  if (imprintTrusted && imprint && makings && imprint.madeOf === nameOf(makings)) {
    const call = await fromImprint(loadMicroPython, imprint)
    if (call) return call
  }
  const call = await startHost(loadMicroPython, wasm, await bytesAt(pack))
  if (makings) imprintSoon(makings)
  return call
}

let starter: Starter = fromAssets
let starting: Promise<Call> | null = null
/** The interpreter once it has been asked something: from then on it answers without a wait. */
let up: Call | null = null

/** Replaces how the interpreter is started, for a host other than the page. */
export function startWith(other: Starter): void {
  starter = other
  forget()
}

/** A hand that types comes back sooner than this. */
const REST_MS = 1_500
let resting: ReturnType<typeof setTimeout> | undefined
let askedAt = 0

/** Counts calls: where it still stands, an answer has not been overtaken by anything that the brain heard since. */
let calls = 0

export function callsSoFar(): number {
  return calls
}

function forget(): void {
  calls += 1
  clearTimeout(resting)
  resting = undefined
  starting = up = null
  brainReady.value = false
}

/** This page starts it from the pack from now on: the imprint may be at fault. */
function lose(): void {
  forget()
  imprintTrusted = false
  void dropImprint()
}

async function start(): Promise<Call> {
  try {
    const call = await starter()
    brainStarts.value += 1
    brainReady.value = true
    return call
  } catch (error) {
    forget()
    throw notThere(error)
  }
}

/** Starts the brain unless it is up; resolves when it answers calls. */
export async function startBrain(): Promise<void> {
  starting ??= start()
  await starting
}

function noteFirstAnswer(): void {
  if (!marked) performance.mark(ANSWERED)
  marked = true
}

/** Has the interpreter tidy up when nobody has asked anything for a while. */
function restSoon(call: Call): void {
  askedAt = performance.now()
  resting ??= setTimeout(() => restOrWait(call), REST_MS)
}

/** One timer at a time: to wind it anew with each key would cost the key more than the rest saves it. */
function restOrWait(call: Call): void {
  const left = askedAt + REST_MS - performance.now()
  if (left > 0) {
    resting = setTimeout(() => restOrWait(call), left)
    return
  }
  resting = undefined
  call.rest?.()
}

function answerOf(call: Call, name: string, text: string): string {
  calls += 1
  try {
    return call(name, text)
  } catch (error) {
    // A Python exception leaves the interpreter whole; anything else may have torn its memory.
    if (!(error instanceof Error && error.name === 'PythonError')) lose()
    throw brokeDown(name, error)
  }
}

/** One call of the brain: plain data in and out. Throws BrainFailure with the brain's own words. */
export function ask<T>(name: string, question: object): Promise<T> {
  return askText(name, JSON.stringify(question))
}

/** The same for a question that is JSON text already. */
export async function askText<T>(name: string, question: string): Promise<T> {
  starting ??= start()
  const known = starting
  const call = await known
  if (starting === known) up = call
  return answered<T>(call, name, question)
}

/** The same at once, without letting anything come between; null where the brain is not up. */
export function askNow<T>(name: string, question: object): T | null {
  return up && answered<T>(up, name, JSON.stringify(question))
}

function answered<T>(call: Call, name: string, question: string): T {
  const text = answerOf(call, name, question)
  restSoon(call)
  noteFirstAnswer()
  const answer = JSON.parse(text) as T & { error?: BrainError | null }
  if (refused(answer)) throw new BrainFailure(answer.error)
  return answer
}

/** A preview carries an `error` of its own beside its other fields; a refusal carries nothing else. */
function refused(answer: object): answer is { error: BrainError } {
  return 'error' in answer && answer.error !== null && Object.keys(answer).length === 1
}
