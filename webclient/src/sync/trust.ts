/** Whether the shop lets this device in: it has joined, or it has not, or it was cut off. */
import { signal } from '@preact/signals'
import { identity, recall } from '../store/index.ts'
import { ServerFailure } from './failure.ts'
import { request } from './http.ts'
import { DEVICE_NAME } from './push.ts'

export type Trust = 'unknown' | 'joined' | 'not joined' | 'cut off'

export const trust = signal<Trust>('unknown')

const SAID: Record<string, Trust> = { not_joined: 'not joined', cut_off: 'cut off' }

/** What a refusal tells of it. */
export function heedTrust(failure: unknown): void {
  const said = failure instanceof ServerFailure ? SAID[failure.code] : undefined
  if (said) trust.value = said
}

async function publicKey(): Promise<string> {
  const kind = { name: 'ECDSA', namedCurve: 'P-256' }
  const { publicKey: half } = await crypto.subtle.generateKey(kind, false, ['sign', 'verify'])
  return btoa(String.fromCharCode(...new Uint8Array(await crypto.subtle.exportKey('spki', half))))
}

/** Gives the shop the one-time code and this device's key. Throws ServerFailure or NoContact. */
export async function join(code: string): Promise<void> {
  const { device } = await identity()
  const device_name = (await recall<string>(DEVICE_NAME)) ?? ''
  const body = { code, device, device_name, public_key: await publicKey() }
  await request('/join', { method: 'POST', body })
  trust.value = 'joined'
}
