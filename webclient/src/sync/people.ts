/** The people of the shop from the desk: taken on, changed, gone; passwords and PINs. */
import { request } from './http.ts'
import { fetchShop } from './shop.ts'

const at = (person: string, what = '') => `/people/${encodeURIComponent(person)}${what}`

/** The list is asked for at once: who changed it looks at it. */
async function changed(path: string, body?: unknown): Promise<void> {
  await request(path, { method: 'POST', ...(body !== undefined && { body }) })
  await fetchShop()
}

/** All of these throw ServerFailure with the server's words, or NoContact. */
export const takeOn = (name: string, role: string) => changed('/people', { name, role })
export const changePerson = (person: string, news: { name?: string; role?: string }) =>
  changed(at(person), news)
export const personLeft = (person: string) => changed(at(person, '/left'))
export const givePassword = (person: string, password: string) =>
  changed(at(person, '/password'), { password })
export const givePin = (person: string, pin: string) => changed(at(person, '/pin'), { pin })
export const changeOwnPassword = (old: string, password: string) =>
  changed('/me/password', { old, password })
export const changeOwnPin = (password: string, pin: string) => changed('/me/pin', { password, pin })
