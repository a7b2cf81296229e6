/**
 * One talk with the server at a time, over all tabs of this browser.
 *
 * Two tabs pushing at once would do no harm (everything is idempotent, LG3) but twice the work. So a tab
 * that was frozen with the lock in its hand may be robbed of it.
 */

const LOCK = 'standbook sync'
const ROB_AFTER_MS = 60_000

/** Waits for its turn and runs `work`; a lock held for too long is taken over. */
export async function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const locks = globalThis.navigator?.locks
  if (!locks) return work()
  const late = new AbortController()
  const timer = setTimeout(() => late.abort(), ROB_AFTER_MS)
  const running = () => {
    clearTimeout(timer)
    return work()
  }
  try {
    return (await locks.request(LOCK, { signal: late.signal }, running)) as T
  } catch (error) {
    if (!late.signal.aborted) throw error
    return (await locks.request(LOCK, { steal: true }, work)) as T
  } finally {
    clearTimeout(timer)
  }
}
