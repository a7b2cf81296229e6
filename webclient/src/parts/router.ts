/**
 * Which screen stands at an address. History without hashes, so that a phone's back button walks screens.
 */
import { signal } from '@preact/signals'

export interface Address {
  path: string
  query: string
}

function here(): Address {
  return { path: location.pathname, query: location.search }
}

/** The address now shown. Screens read it; only `go` and the browser's history write it. */
export const address = signal<Address>(here())

/** Shows `to`; `replace` leaves no way back to the address before. */
export function go(to: string, replace = false): void {
  if (replace) history.replaceState(null, '', to)
  else history.pushState(null, '', to)
  address.value = here()
  if (!replace) scrollTo(0, 0)
}

/** The named parts of `path` under `pattern` ("/build/:id"), or null where it does not fit. */
export function match(pattern: string, path: string): Record<string, string> | null {
  const want = pattern.split('/')
  const have = path.replace(/(.)\/$/, '$1').split('/')
  if (want.length !== have.length) return null
  const found: Record<string, string> = {}
  for (const [at, part] of want.entries()) {
    const given = have[at] ?? ''
    if (part.startsWith(':') && given !== '') found[part.slice(1)] = decodeURIComponent(given)
    else if (part !== given) return null
  }
  return found
}

/** Reads one word of the query: "?show=table" has "table" under "show". */
export function asked(query: string, name: string): string | null {
  return new URLSearchParams(query).get(name)
}

function inOwnTab(event: MouseEvent): boolean {
  return event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey
}

function followLink(event: MouseEvent): void {
  const link = event.target instanceof Element ? event.target.closest('a') : null
  const to = link?.getAttribute('href')
  if (event.defaultPrevented || !to?.startsWith('/') || !inOwnTab(event)) return
  if (to.startsWith('/api/') || link?.hasAttribute('download')) return
  event.preventDefault()
  go(to)
}

/** Links of the app change the screen without loading the page again. */
export function followLinks(): void {
  addEventListener('popstate', () => {
    address.value = here()
  })
  document.addEventListener('click', followLink)
}

/** The addresses of the screens, in one place. */
export const to = {
  engines: '/',
  build: (build: string) => `/build/${encodeURIComponent(build)}`,
  step: (build: string, step: string, show?: string) =>
    `/build/${encodeURIComponent(build)}/step/${encodeURIComponent(step)}${show ? `?show=${show}` : ''}`,
  hold: (build: string, hold: string) =>
    `/build/${encodeURIComponent(build)}/hold/${encodeURIComponent(hold)}`,
  deskHold: (build: string, hold: string) =>
    `/desk/build/${encodeURIComponent(build)}/hold/${encodeURIComponent(hold)}`,
  calculators: '/calculators',
  calculator: (name: string) => `/calculators/${name}`,
  deskCalculators: '/desk/calculators',
  deskCalculator: (name: string) => `/desk/calculators/${name}`,
  join: '/join',
  desk: '/desk',
  review: '/desk/review',
  held: '/desk/held',
  phones: '/desk/phones',
  people: '/desk/people',
  instruments: '/desk/instruments',
  newBuild: '/desk/new',
  customers: '/desk/customers',
  access: '/desk/access',
  first: '/first',
  deskBuild: (build: string) => `/desk/build/${encodeURIComponent(build)}`,
  label: (build: string) => `/desk/build/${encodeURIComponent(build)}/label`,
}
