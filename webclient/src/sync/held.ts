/** What the shop keeps back, for the desk: it stays until a person deals with it (LG6). */
import { request } from './http.ts'

/** Everything held back in the shop, in the server's own form. */
export async function heldBack<T>(): Promise<T | null> {
  return (await request<T>('/held')).body
}

/** Notes that a person dealt with it, and why. */
export async function dealtWith(id: string, reason: string): Promise<void> {
  await request(`/held/${encodeURIComponent(id)}/dealt`, { method: 'POST', body: { reason } })
}
