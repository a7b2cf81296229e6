/**
 * One line of tasks for everything that happens in this process, worked off by hand: nothing runs unless it is asked
 * to, so that the same commands give the same story to the last step.
 *
 * fake-indexeddb hands its work to `setImmediate`; here that is this line.
 */
const line = []
const watchers = new Set()

export function later(task) {
  line.push(task)
}

globalThis.setImmediate = (task, ...words) => later(() => task(...words))

/** Calls `watcher` before every task; it may kill a page there. */
export function watch(watcher) {
  watchers.add(watcher)
}

/** Lets everything run that promises are waiting for. */
function settle() {
  process._tickCallback()
}

/** Runs until nobody has anything left to do but to wait. Returns how many tasks ran. */
export function runUntilQuiet() {
  let count = 0
  settle()
  for (let task = line.shift(); task !== undefined; task = line.shift()) {
    for (const watcher of watchers) watcher()
    task()
    settle()
    count += 1
    if (count > 200_000) throw new Error('this never comes to rest')
  }
  return count
}
