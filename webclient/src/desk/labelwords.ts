/** What is to be said of a label's address. */

/** No phone finds this: the name means the machine itself, wherever it is read. */
export function isOnlyHere(address: string): boolean {
  const { hostname } = new URL(address)
  return hostname === 'localhost' || hostname === '[::1]' || hostname.startsWith('127.')
}
