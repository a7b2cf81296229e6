/** Starts everything behind the screens, in the order in which a person at the stand misses it. */
import { startBrain } from '../brain/brain.ts'
import { askToPersist } from '../store/index.ts'
import { registerWorker } from '../sw/update.ts'
import { type Mode, recallContact, recallShop, startSync, strip } from '../sync/index.ts'
import { keepBefore, lookBefore } from './before.ts'
import { keepBooks } from './books.ts'
import { takeUpPhotos } from './photos.ts'
import { recallStates } from './states.ts'
import { trouble } from './trouble.ts'

/** A page that is opened in the background paints nothing until it is looked at. */
const PAINT_BY_MS = 2_000

/** Resolves when something is on the screen: work begun earlier would hold up that first picture. */
function firstPaint(): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, PAINT_BY_MS)
    const watch = new PerformanceObserver((list) => {
      if (list.getEntriesByName('first-contentful-paint').length) resolve()
    })
    watch.observe({ type: 'paint', buffered: true })
  })
}

async function recallAll(): Promise<() => Promise<void>> {
  const [reckonStale] = await Promise.all([recallStates(), recallShop(), recallContact()])
  return reckonStale
}

async function bringUp(reckonStale: () => Promise<void>): Promise<void> {
  await startBrain()
  await reckonStale()
}

function complain(error: unknown): void {
  trouble.value = error as Error
}

/**
 * Starts the app. Resolves when what was kept is on the screen's signals; brain, sync and worker follow after
 * the first paint and never hold the screen up.
 */
export async function startApp(mode: Mode): Promise<void> {
  keepBooks()
  const reckonStale = await recallAll().catch((error) => {
    complain(error)
    return async () => undefined
  })
  void firstPaint().then(() => {
    bringUp(reckonStale).catch(complain)
    void askToPersist()
    keepBefore()
    takeUpPhotos().catch(complain)
    startSync(mode, __APP_VERSION__)
    registerWorker()
    // What was lost is known once the shop has been asked.
    strip.subscribe(({ online }) => {
      if (online) lookBefore().catch(complain)
    })
    lookBefore().catch(complain)
  })
}
