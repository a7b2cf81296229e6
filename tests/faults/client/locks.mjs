/** Web Locks of one phone: one holder a name, the others wait in line; a page that dies lets go. */
export class Locks {
  #names = new Map()

  #of(name) {
    const known = this.#names.get(name) ?? { holder: null, waiting: [] }
    this.#names.set(name, known)
    return known
  }

  #next(name) {
    const lock = this.#of(name)
    if (lock.holder !== null) return
    const wish = lock.waiting.shift()
    if (!wish) return
    lock.holder = wish
    wish.granted()
  }

  #letGo(name, wish) {
    const lock = this.#of(name)
    if (lock.holder !== wish) return
    lock.holder = null
    this.#next(name)
  }

  #wait(page, name, options) {
    return new Promise((resolve, reject) => {
      const wish = { page, granted: () => resolve(wish) }
      const lock = this.#of(name)
      if (options.steal) lock.holder = null
      lock.waiting[options.steal ? 'unshift' : 'push'](wish)
      options.signal?.addEventListener('abort', () => {
        if (lock.holder === wish) return
        lock.waiting = lock.waiting.filter((other) => other !== wish)
        reject(options.signal.reason)
      })
      this.#next(name)
    })
  }

  async #request(page, name, options, work) {
    if (options.ifAvailable && this.#of(name).holder !== null) return work(null)
    const wish = await this.#wait(page, name, options)
    try {
      return await work({ name })
    } finally {
      this.#letGo(name, wish)
    }
  }

  /** `navigator.locks` as this page sees it. */
  seenBy(page) {
    return {
      request: (name, options, work) =>
        typeof options === 'function'
          ? this.#request(page, name, {}, options)
          : this.#request(page, name, options, work),
    }
  }

  release(page) {
    for (const [name, lock] of this.#names) {
      lock.waiting = lock.waiting.filter((wish) => wish.page !== page)
      if (lock.holder?.page === page) this.#letGo(name, lock.holder)
    }
  }
}
