/** The people of the shop from the desk: taken on, changed, gone; passwords and PINs. */
import { request } from './http.ts'
import { fetchShop } from './shop.ts'

const at = (person: string, what = '') => `/people/${encodeURIComponent(person)}${what}`

/** The list is asked for at once: who changed it looks at it. */
async function changed(path: string, body?: unknown, match?: string): Promise<void> {
  const more = { ...(body !== undefined && { body }), ...(match !== undefined && { match }) }
  await request(path, { method: 'POST', ...more })
  await fetchShop()
}

/** All of these throw ServerFailure with the server's words, or NoContact. */
export const takeOn = (name: string, role: string) => changed('/people', { name, role })
/** `version`: as the person was looked at. Where somebody has changed it meanwhile, the list is asked for as well. */
export async function changePerson(
  person: string,
  news: { name?: string; role?: string },
  version: string,
): Promise<void> {
  try {
    await changed(at(person), news, `"${version}"`)
  } catch (failure) {
    if ((failure as { code?: string }).code === 'changed_meanwhile') await fetchShop()
    throw failure
  }
}
export const personLeft = (person: string) => changed(at(person, '/left'))
export const givePassword = (person: string, password: string) =>
  changed(at(person, '/password'), { password })
export const givePin = (person: string, pin: string) => changed(at(person, '/pin'), { pin })
export const changeOwnPassword = (old: string, password: string) =>
  changed('/me/password', { old, password })
export const changeOwnPin = (password: string, pin: string) => changed('/me/pin', { password, pin })
