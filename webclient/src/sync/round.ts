/** One talk with the shop: send own entries and their blobs, pull what is new, note what became of it. */
import {
  carryLost,
  counts,
  identity,
  lastOwnNumber,
  leaveIdentity,
  markDealt,
  noteBefore,
  offerFrom,
  offerRest,
  StoreFailure,
} from '../store/index.ts'
import { sendBlobs } from './blobs.ts'
import { NoContact, ServerFailure } from './failure.ts'
import { inTurn } from './flight.ts'
import { settleOthers } from './held.ts'
import { sendPhotos } from './photos.ts'
import { countAtShop, mend, pullAll } from './pull.ts'
import { pushAll, pushCarried } from './push.ts'
import { findSession, session } from './session.ts'
import { fetchShop, shop } from './shop.ts'
import { contact, noContact, problem, recount } from './strip.ts'
import { joinAsPerson, keepName, noteWelcome } from './trust.ts'
import { noteWanted } from './wanted.ts'
import type { Mine } from './wire.ts'

/** The shop's lists change seldom. */
const SHOP_EVERY_MS = 60_000

export interface RoundEnd {
  /** The shop answered, and nothing of ours waits for another try. */
  ok: boolean
}

let shopAt = Number.NEGATIVE_INFINITY

async function freshShop(): Promise<void> {
  if (performance.now() - shopAt < SHOP_EVERY_MS) return
  await fetchShop()
  if (session.value === null) await findSession()
  shopAt = performance.now()
}

/** The shop would take it from who is signed in: it may be that nobody is any more. */
const SIGN_IN = ['sign_in_needed', 'pin_needed']

const RESTORED =
  'The shop’s server runs on another copy of its book than before. Everything made here was offered to it again; tell the lead.'

let mended = false

/** Once a page: whatever happened to the history since, it is whole before it grows. */
async function mendOnce(): Promise<void> {
  if (!mended) await mend()
  mended = true
}

async function talk(app_version: string): Promise<RoundEnd> {
  await offerRest()
  await mendOnce()
  await joinAsPerson()
  await keepName()
  // What a new phone pulls speaks of people: their names come before it.
  if (shop.value === null) await freshShop()
  const pushed = await pushAll(app_version)
  // A book of another epoch shows itself in the pull; then own entries go out again at once (LG9).
  const pulled = await pullAll()
  const again = pulled.restarted ? await pushAll(app_version) : pushed
  const last = pulled.restarted ? await pullAll() : pulled
  const stops = await bringOthers(app_version)
  await noteWanted([...(again.refused ? [{ device: null, refused: again.refused }] : []), ...stops])
  await sendBlobs()
  await sendPhotos()
  await freshShop()
  await settleMine(last.mine ?? again.mine ?? pulled.mine)
  if (SIGN_IN.includes(again.refused?.code ?? '')) await findSession()
  noteWelcome()
  problem.value = again.refused?.message ?? (pulled.restarted ? RESTORED : kept(problem.value))
  return { ok: again.refused === null }
}

/**
 * What this device carries for others, and what a restored server has lost of them (LG9). The talk that heard of the
 * restored book may have been cut: what was put aside then is compared as soon as a pull has come to its end.
 */
async function bringOthers(app_version: string): ReturnType<typeof pushCarried> {
  await carryLost()
  const stops = await pushCarried(app_version)
  await settleOthers()
  if ((await counts()).carried > 0) await pullAll()
  return stops
}

/** The server's record of this device: what it says of held-back entries, and whether there are two of us. */
async function settleMine(mine: Mine | null): Promise<void> {
  if (mine) {
    await markDealt((mine.dealt ?? []).map(({ device_no }) => device_no))
    if (mine.next_no > (await lastOwnNumber()) + 1) await leaveIdentity()
    else await offerFrom(mine.next_no)
  }
  await askOfBefore()
  await contact(mine)
}

/**
 * How many entries the shop has of what this browser was before its storage was cleared: the rest is lost. Asked
 * again until somebody has read it: one that was still on its way, or is handed in by file, is not lost.
 */
async function askOfBefore(): Promise<void> {
  const { before } = await identity()
  if (before?.why !== 'cleared' || before.told) return
  const at_shop = await countAtShop(before.device)
  if (at_shop !== null && at_shop !== before.at_shop) await noteBefore({ at_shop })
}

/** The news of a restored book stays until the page is loaded again; other troubles are over. */
function kept(before: string | null): string | null {
  return before === RESTORED ? RESTORED : null
}

/** A device that has to join says nothing of who is signed in. */
function isSignedOut(error: unknown): boolean {
  return error instanceof ServerFailure && error.status === 401 && error.code !== 'not_joined'
}

function note(error: unknown): void {
  if (error instanceof NoContact) {
    noContact()
    // Nobody answering is everyday life at the stand, not a problem.
    problem.value = error.code === 'not_the_shop' ? error.message : kept(problem.value)
    return
  }
  if (!(error instanceof ServerFailure || error instanceof StoreFailure)) throw error
  if (isSignedOut(error)) session.value = { person: null }
  problem.value = error.message
}

/** Talks to the shop once, in turn with other tabs. Never throws what the strip can show. */
export async function talkOnce(app_version: string): Promise<RoundEnd> {
  try {
    return await inTurn(() => talk(app_version))
  } catch (error) {
    note(error)
    return { ok: false }
  } finally {
    await recount().catch(note)
  }
}
