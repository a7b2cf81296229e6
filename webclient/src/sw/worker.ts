/**
 * The service worker: precaches page, assets, wasm and trade pack as one set, and serves GET only.
 *
 * It never touches `/api`, never answers a POST and never opens IndexedDB: the outbox belongs to the page
 * alone. A new set waits until the page says that nothing is half entered.
 */
import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  precacheAndRoute,
} from 'workbox-precaching'
import { registerRoute } from 'workbox-routing'
import { isPage } from './paths.ts'

declare const self: ServiceWorkerGlobalScope
/** Filled in by the build: every file of the client with its revision. */
declare const PRECACHE: { url: string; revision: string | null }[]

precacheAndRoute(PRECACHE, {
  cleanURLs: false,
  directoryIndex: '',
  ignoreURLParametersMatching: [],
})
cleanupOutdatedCaches()

// Workbox routes are for GET unless they say otherwise; every screen's address is drawn by the one page.
registerRoute(
  ({ request, url, sameOrigin }) =>
    sameOrigin && request.mode === 'navigate' && isPage(url.pathname),
  createHandlerBoundToURL('/'),
)

self.addEventListener('message', (event) => {
  if (event.data === 'take over') void self.skipWaiting()
})
