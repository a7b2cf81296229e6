/** Starts everything behind the screens, in the order in which a person at the stand misses it. */
import { startBrain } from '../brain/brain.ts'
import { askToPersist } from '../store/index.ts'
import { registerWorker } from '../sw/update.ts'
import { type Mode, recallContact, recallShop, startSync } from '../sync/index.ts'
import { keepBooks } from './books.ts'
import { recallStates } from './states.ts'
import { trouble } from './trouble.ts'

function nextPaint(): Promise<void> {
  return new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve, 0)))
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
 * the next paint and never hold the screen up.
 */
export async function startApp(mode: Mode): Promise<void> {
  keepBooks()
  const reckonStale = await recallAll().catch((error) => {
    complain(error)
    return async () => undefined
  })
  void nextPaint().then(() => {
    bringUp(reckonStale).catch(complain)
    void askToPersist()
    startSync(mode, __APP_VERSION__)
    registerWorker()
  })
}
