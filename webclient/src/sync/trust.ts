/**
 * Whether the shop lets this device in: it joins once, by a lead's code or by a person who signs in on it, and from then
 * on proves its key whenever the shop asks. Nothing here goes by this device's clock.
 */
import { signal } from '@preact/signals'
import {
  type DeviceKey,
  deviceKey,
  identity,
  leaveIdentity,
  recall,
  remember,
} from '../store/index.ts'
import { NoContact, notJoined, ServerFailure } from './failure.ts'
import { ask, useDoor } from './http.ts'
import { DEVICE_NAME } from './push.ts'
import { session } from './session.ts'

export type Trust = 'unknown' | 'joined' | 'not joined' | 'cut off'

/** What the shop thinks of this device, as far as it has said so. */
export const trust = signal<Trust>('unknown')

/** How often this page has been let in. */
let times = 0

/** Under which small fact a browser keeps as whom the shop let it in last. */
const LET_IN_AS = 'let in as'
/** The same at hand; undefined while nobody has looked. */
let letInAs: string | null | undefined

async function noteLetIn(device: string): Promise<void> {
  times += 1
  letInAs = device
  trust.value = 'joined'
  // Without room for it the new name is told when the shop asks.
  await remember(LET_IN_AS, device).catch(() => undefined)
}

/** The talk went through, whoever is let in by what: nothing stands between this device and the shop. */
export function noteWelcome(): void {
  if (trust.value !== 'joined') trust.value = 'unknown'
}

function post<T>(path: string, body: object): Promise<T | null> {
  return ask<T>(path, { method: 'POST', body }).then((answer) => answer.body)
}

async function ownKey(): Promise<DeviceKey> {
  const { device } = await identity()
  const key = await deviceKey(device)
  if (!key) throw new ServerFailure(0, 'no_key', NO_KEY)
  return key
}

const NO_KEY =
  'This browser keeps no key for the shop. Open the book by its https address and outside of private browsing, then join.'

/** Takes `code`, or what is said in its place, to the shop with this device's key. */
async function joinBy(path: string, more: (key: DeviceKey) => Promise<object>): Promise<void> {
  const key = await ownKey()
  const body = { device: key.device, public_key: key.publicKey, ...(await more(key)) }
  const told = await post<{ shop: unknown }>(path, body)
  if (!told?.shop) throw new NoContact('not_the_shop')
  await noteLetIn(key.device)
}

/** The shop knows this identity under another key, which is here no more: this browser goes on under a new one. */
async function underAFreeName(work: () => Promise<void>): Promise<void> {
  try {
    await work()
  } catch (error) {
    if (!(error instanceof ServerFailure && error.code === 'device_taken')) throw error
    await leaveIdentity()
    await work()
  }
}

/** Joins the shop by a lead's code. Throws ServerFailure with the shop's words, or NoContact. */
export function join(code: string): Promise<void> {
  const more = async () => ({ code, device_name: (await recall<string>(DEVICE_NAME)) ?? '' })
  return underAFreeName(() => joinBy('/join', more))
}

/** Joins as the browser in which somebody has signed in. Throws as `join` does. */
export function joinDesk(): Promise<void> {
  return underAFreeName(() => joinBy('/join/desk', async () => ({})))
}

/** Has the shop let this device in by its key. Throws ServerFailure not_joined or cut_off, or NoContact. */
export async function proveDevice(): Promise<void> {
  const key = await ownKey().catch(() => null)
  if (!key) throw notJoined()
  const { device } = key
  const { challenge } = (await post<{ challenge: unknown }>('/devices/challenge', { device })) ?? {}
  if (typeof challenge !== 'string') throw new NoContact('not_the_shop')
  const signature = await key.sign(`standbook proof 1\n${device}\n${challenge}`)
  await letInBy('/devices/proof', { device, challenge, signature })
}

/** This browser is another device now: the shop still knows it as what it was before. */
async function tellNewName(): Promise<void> {
  const { device, publicKey } = await ownKey()
  await letInBy('/devices/renamed', { device, public_key: publicKey })
}

async function letInBy(
  path: string,
  body: { device: string; [more: string]: string },
): Promise<void> {
  const told = await post<{ device: unknown }>(path, body)
  if (told?.device !== body.device) throw new NoContact('not_the_shop')
  await noteLetIn(body.device)
}

/** A browser that was let in and has left its identity tells the shop, before its cookie runs out. */
export async function keepName(): Promise<void> {
  if (letInAs === undefined) letInAs = await recall<string>(LET_IN_AS)
  if (!letInAs || letInAs === (await identity()).device) return
  // Not again in the life of this page: whoever is not known any more joins by a code.
  if (!(await enterOnce(true))) letInAs = null
}

/** False where the shop does not know who asks; any other refusal goes on. */
async function works(way: () => Promise<void>): Promise<boolean> {
  try {
    await way()
    return true
  } catch (error) {
    if (!(error instanceof ServerFailure)) throw error
    if (error.code === 'cut_off') trust.value = 'cut off'
    if (error.code !== 'not_joined') throw error
    return false
  }
}

async function enter(renamed: boolean): Promise<boolean> {
  if (await works(proveDevice)) return true
  if (renamed && (await works(tellNewName))) return true
  trust.value = 'not joined'
  return joinAsPerson()
}

/** Whoever has signed in lends the browser that trust. */
export async function joinAsPerson(): Promise<boolean> {
  if (trust.value !== 'not joined' || !session.value?.person) return false
  return works(joinDesk)
}

let entering: Promise<boolean> | null = null

/** However many requests are refused at once, the key is proved once. */
function enterOnce(renamed: boolean): Promise<boolean> {
  entering ??= enter(renamed).finally(() => {
    entering = null
  })
  return entering
}

async function open({ code }: ServerFailure, before: number): Promise<boolean> {
  if (code === 'cut_off') {
    trust.value = 'cut off'
    return false
  }
  if (times > before) return true
  if (code === 'not_joined') return enterOnce(false)
  // Let in under its present name, it is the request that speaks for somebody else.
  return letInAs !== (await identity()).device && enterOnce(true)
}

useDoor({ times: () => times, open })
