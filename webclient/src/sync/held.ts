/** What the shop keeps back, for the desk: it stays until a person deals with it (LG6). */
import { carriedHeld, endCarried, identity, markDealt, writerIn } from '../store/index.ts'
import { NoContact } from './failure.ts'
import { request } from './http.ts'
import { recordOf } from './pull.ts'

/** Everything held back in the shop, in the server's own form. */
export async function heldBack<T>(): Promise<T | null> {
  return (await request<T>('/held')).body
}

/** Notes that a person dealt with it, and why. */
export async function dealtWith(id: string, reason: string): Promise<void> {
  await request(`/held/${encodeURIComponent(id)}/dealt`, { method: 'POST', body: { reason } })
}

async function dealtOf(device: string): Promise<number[]> {
  return ((await recordOf(device))?.dealt ?? []).map(({ device_no }) => device_no)
}

/** What was brought for another device and kept back leaves when somebody, here or at the desk, has dealt with it. */
export async function settleOthers(): Promise<void> {
  for (const [lane] of await carriedHeld()) await endCarried(lane, await dealtOf(writerIn(lane)))
}

/** A person at this device has dealt with its held-back entry; it leaves the list when the shop has noted that. */
export async function dealWithHeld(
  device_no: number,
  person: string,
  reason: string,
  lane?: string,
): Promise<void> {
  const device = lane ? writerIn(lane) : (await identity()).device
  const path = `/devices/${encodeURIComponent(device)}/held/${device_no}/dealt`
  await request(path, { method: 'POST', body: { person, reason } })
  // The answer itself is empty, and so is that of many a stranger: the shop's own list tells (LG7).
  if (!(await dealtOf(device)).includes(device_no)) throw new NoContact('not_the_shop')
  if (lane) await endCarried(lane, [device_no])
  else await markDealt([device_no])
}

/** Phones and browsers of the shop, in the server's own form. */
export async function devices<T>(): Promise<T | null> {
  return (await request<T>('/devices')).body
}
