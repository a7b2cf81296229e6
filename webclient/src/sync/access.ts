/** Who came in where, and on which browsers somebody is signed in, in the server's own form. */
import { NoContact } from './failure.ts'
import { request } from './http.ts'

/** `words`: what happened; `person`, `device`: their names. */
export interface AccessLine {
  id: string
  at: string
  kind: string
  words: string
  person: string | null
  device: string | null
  address: string
  detail: string
}

export interface AccessPage {
  lines: AccessLine[]
  more: boolean
}

/** `here`: of this browser. `last_at`: of its last request, to some minutes. */
export interface OpenSession {
  created_at: string
  last_at: string
  here: boolean
}

/** The newest lines, or those before the line `before`. */
export async function accessLines(before?: string): Promise<AccessPage> {
  const query = before === undefined ? '' : `?before=${encodeURIComponent(before)}`
  const { body } = await request<AccessPage>(`/access${query}`)
  if (!Array.isArray(body?.lines)) throw new NoContact('not_the_shop')
  return body
}

export async function openSessions(): Promise<OpenSession[]> {
  const { body } = await request<{ sessions: OpenSession[] }>('/session/all')
  if (!Array.isArray(body?.sessions)) throw new NoContact('not_the_shop')
  return body.sessions
}
