/** Who is signed in at this desk, as the server's cookie says; the stand needs nobody signed in. */
import { signal } from '@preact/signals'
import { NoContact } from './failure.ts'
import { request } from './http.ts'
import type { Session } from './wire.ts'

/** Null while the server has not been asked. */
export const session = signal<Session | null>(null)

function note(body: Session | null): void {
  if (body?.person === undefined) throw new NoContact('not_the_shop')
  session.value = body
}

/** Asks the server who is signed in; without contact the last answer stands. */
export async function findSession(): Promise<void> {
  note((await request<Session>('/session')).body)
}

/** Signs a lead in. Throws ServerFailure with the server's words, or NoContact. */
export async function signIn(person: string, password: string): Promise<void> {
  const { body } = await request<Session>('/session', {
    method: 'POST',
    body: { person, password },
  })
  note(body)
}

/** Ends the session of this browser, or all of the person's. */
export async function signOut(everywhere = false): Promise<void> {
  const path = everywhere ? '/session?everywhere=1' : '/session'
  note((await request<Session>(path, { method: 'DELETE' })).body)
}

export interface Beginning {
  /** From the link that the server printed. */
  token: string
  shop: string
  name: string
  password: string
}

/** Opens a shop's book and signs its first lead in. Throws ServerFailure or NoContact. */
export async function beginShop(beginning: Beginning): Promise<void> {
  note((await request<Session>('/first-lead', { method: 'POST', body: beginning })).body)
}
