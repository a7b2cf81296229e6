/**
 * When to talk to the shop: at the start, after each new entry, when the network or the person comes back,
 * every so often, and after a failure later and later. One talk at a time; a wish during a talk makes one more.
 */
import { onChange } from '../store/index.ts'
import { waitAfter } from './backoff.ts'
import { type RoundEnd, talkOnce } from './round.ts'
import { session } from './session.ts'
import { recount } from './strip.ts'

export type Mode = 'stand' | 'desk'

const EVERY_MS: Record<Mode, number> = { stand: 15_000, desk: 3_000 }
/** Entries that come in one breath go out in one batch. */
const GATHER_MS = 250

let mode: Mode = 'stand'
let version = ''
let running: Promise<RoundEnd> | null = null
let wanted = false
let misses = 0
let timer: ReturnType<typeof setTimeout> | undefined
/** Waits for what comes in one breath. A talk that ends meanwhile plans the next one, and must not put this off. */
let gathering: ReturnType<typeof setTimeout> | undefined
let started = false

function hidden(): boolean {
  return typeof document !== 'undefined' && document.visibilityState === 'hidden'
}

/** A hidden page does not poll; it talks again when it is looked at, and when an entry is made. */
function plan(): void {
  clearTimeout(timer)
  if (!started || hidden()) return
  timer = setTimeout(() => void syncNow(), misses ? waitAfter(misses) : EVERY_MS[mode])
}

async function talkUntilQuiet(): Promise<RoundEnd> {
  try {
    let end: RoundEnd
    do {
      wanted = false
      end = await talkOnce(version)
    } while (wanted && end.ok)
    return end
  } finally {
    // In the same breath as the last look at `wanted`: a wish in between would be lost.
    running = null
  }
}

/** Talks to the shop now; joins a talk under way and makes sure that one more follows it. */
export async function syncNow(): Promise<void> {
  wanted = true
  running ??= talkUntilQuiet()
  const { ok } = await running
  misses = ok ? 0 : misses + 1
  plan()
}

function soon(): void {
  clearTimeout(gathering)
  gathering = setTimeout(() => void syncNow(), GATHER_MS)
}

function lookedAt(): void {
  if (!hidden()) soon()
}

function listen(): void {
  onChange((change) => {
    if (change.entries?.some((entry) => entry.sent === 'no')) soon()
    void recount()
  })
  // A lead who signs in frees what was refused without him.
  session.subscribe((now) => {
    if (now?.person) soon()
  })
  globalThis.addEventListener?.('online', soon)
  globalThis.document?.addEventListener('visibilitychange', lookedAt)
}

/** Starts the loop, or changes how often it looks. `app_version` is told to the shop. */
export function startSync(wish: Mode, app_version = version): void {
  mode = wish
  version = app_version
  if (started) plan()
  else {
    started = true
    listen()
    void syncNow()
  }
}
