/** What the desk and a joining phone ask the shop about joining; the joining itself is in `trust.ts`. */
import { NoContact } from './failure.ts'
import { request } from './http.ts'

/** Where the shop's phones join; all null while it is served on its own machine alone. */
export interface Joining {
  network: boolean
  origin: string | null
  name: string | null
  fingerprint: string | null
}

/** A one-time code for a phone. `qr`: what the phone's camera reads, rows of modules, "1" for a dark one. */
export interface JoinCode {
  code: string
  expires_at: string
  address: string
  origin: string
  fingerprint: string | null
  qr: string[]
}

/** The address of an engine's page, and the same for a camera. */
export interface Label {
  address: string
  qr: string[]
}

async function answerOf<T>(path: string, body?: unknown): Promise<T> {
  const asked = body === undefined ? {} : { method: 'POST' as const, body }
  const answer = (await request<T>(path, asked)).body
  if (answer === null) throw new NoContact('not_the_shop')
  return answer
}

/** Throws NoContact or ServerFailure, as do all here. */
export function findJoining(): Promise<Joining> {
  return answerOf<Joining>('/join')
}

/** For a lead. */
export function makeJoinCode(): Promise<JoinCode> {
  return answerOf<JoinCode>('/join/codes', {})
}

/** For a lead: from now on the shop lets this device in no more. */
export async function cutOff(device: string, reason: string): Promise<void> {
  const path = `/devices/${encodeURIComponent(device)}/cut-off`
  await request(path, { method: 'POST', body: { reason } })
}

export function findLabel(build: string): Promise<Label> {
  return answerOf<Label>(`/builds/${encodeURIComponent(build)}/label`)
}
