/**
 * Which addresses the service worker may answer from its cache.
 *
 * Everything else goes to the network untouched: the ledger's routes must never see a cached answer.
 */

const PAGES = [
  /^\/$/,
  /^\/join$/,
  /^\/build\/[^/]+$/,
  /^\/build\/[^/]+\/step\/[^/]+$/,
  /^\/build\/[^/]+\/hold\/[^/]+$/,
  /^\/calculators$/,
  /^\/calculators\/[^/]+$/,
  /^\/first$/,
  /^\/desk$/,
  /^\/desk\/.+$/,
]

/** True when `pathname` is a screen of the app, which `index.html` draws. */
export function isPage(pathname: string): boolean {
  const path = pathname.replace(/(.)\/$/, '$1')
  return PAGES.some((page) => page.test(path))
}
