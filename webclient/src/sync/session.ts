/** Who is signed in at this desk, as the server's cookie says; the stand needs nobody signed in. */
import { signal } from '@preact/signals'
import { request } from './http.ts'
import type { Session } from './wire.ts'

/** Null while the server has not been asked. */
export const session = signal<Session | null>(null)

/** Asks the server who is signed in; without contact the last answer stands. */
export async function findSession(): Promise<void> {
  const { body } = await request<Session>('/session')
  if (body) session.value = body
}

/** Signs a lead in. Throws ServerFailure with the server's words, or NoContact. */
export async function signIn(person: string, password: string): Promise<void> {
  const { body } = await request<Session>('/session', {
    method: 'POST',
    body: { person, password },
  })
  if (body) session.value = body
}

export async function signOut(): Promise<void> {
  await request('/session', { method: 'DELETE' })
  session.value = { person: null }
}
