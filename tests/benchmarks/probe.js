/** In every page before its own scripts: when something was painted, written or answered. Times in milliseconds. */
globalThis.probe = (() => {
  /** The time just after the frame in which what is on the page now has been painted. */
  const painted = () =>
    new Promise((resolve) => {
      requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel()
        port1.onmessage = () => resolve(performance.now())
        port2.postMessage(null)
      })
    })

  /** Calls `look` now and after each change of the page until it gives something true. */
  const until = (look) =>
    new Promise((resolve) => {
      const watch = new MutationObserver(() => {
        if (!look()) return
        watch.disconnect()
        resolve()
      })
      watch.observe(document, { childList: true, subtree: true, characterData: true })
      if (look()) {
        watch.disconnect()
        resolve()
      }
    })

  return { painted, until }
})()
