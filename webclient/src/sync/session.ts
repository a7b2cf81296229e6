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

export async function signOut(): Promise<void> {
  note((await request<Session>('/session', { method: 'DELETE' })).body)
}
