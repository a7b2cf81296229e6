/**
 * The service worker: precaches page, assets, wasm and trade pack as one set, and serves GET only.
 *
 * It never touches `/api`, never answers a POST and never opens IndexedDB: the outbox belongs to the page
 * alone. A new set waits until the page says that nothing is half entered.
 */
import {
  addRoute,
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  precache,
} from 'workbox-precaching'
import { registerRoute } from 'workbox-routing'
import { ADDRESS, type AsLeft, CACHE, filled, SCREEN } from './asleft.ts'
import { isPage } from './paths.ts'

declare const self: ServiceWorkerGlobalScope
/** Filled in by the build: every file of the client with its revision. */
declare const PRECACHE: { url: string; revision: string | null }[]

precache(PRECACHE)
cleanupOutdatedCaches()

// Workbox routes are for GET unless they say otherwise; every screen's address is drawn by the one page.
const page = createHandlerBoundToURL('/')

async function asLeft(): Promise<AsLeft | null> {
  try {
    const kept = await (await caches.open(CACHE)).match(ADDRESS)
    return kept ? await kept.json() : null
  } catch {
    return null
  }
}

/** The first screen with the engines in it, where this device has had them. */
const firstScreen: typeof page = async (options) => {
  const [plain, left] = await Promise.all([page(options), asLeft()])
  if (!left) return plain
  return new Response(filled(await plain.text(), left), { headers: plain.headers })
}

registerRoute(
  ({ request, url, sameOrigin }) =>
    sameOrigin && request.mode === 'navigate' && isPage(url.pathname),
  (options) => (options.url.pathname === SCREEN ? firstScreen(options) : page(options)),
)
// After the screens: the page is a precached file too, and the first route that fits answers.
addRoute({ cleanURLs: false, directoryIndex: '', ignoreURLParametersMatching: [] })

self.addEventListener('message', (event) => {
  if (event.data === 'take over') void self.skipWaiting()
})
