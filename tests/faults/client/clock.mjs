/** A phone's clock: the world's time, set wrong by `skew`, and timers that fire when the world lets time pass. */
const NativeDate = Date

export class Clock {
  /** Milliseconds since 1970 as the world counts them. */
  static world = 0
  elapsed = 0
  skew = 0
  #timers = new Map()
  #last = 0

  now = () => Clock.world + this.skew

  set(page, task, ms = 0, ...words) {
    this.#last += 1
    const at = this.elapsed + Math.max(0, Math.trunc(Number(ms)) || 0)
    this.#timers.set(this.#last, { at, no: this.#last, page, run: () => task(...words) })
    return this.#last
  }

  clear(no) {
    this.#timers.delete(no)
  }

  forget(page) {
    for (const [no, timer] of this.#timers) if (timer.page === page) this.#timers.delete(no)
  }

  /** The next timer that is due within `ms`; the clock stands at its time then. Null: `ms` have passed. */
  next(ms) {
    const until = this.elapsed + ms
    const due = [...this.#timers.values()].filter((timer) => timer.at <= until)
    const first = due.sort((a, b) => a.at - b.at || a.no - b.no)[0]
    const passed = Math.max(0, (first?.at ?? until) - this.elapsed)
    this.elapsed += passed
    Clock.world += passed
    if (!first) return null
    this.#timers.delete(first.no)
    return { run: first.run, left: ms - passed }
  }
}

/** `Date` as a page of this phone knows it. */
export function dateOf(clock) {
  return class extends NativeDate {
    constructor(...words) {
      if (words.length === 0) super(clock.now())
      else super(...words)
    }

    static now() {
      return clock.now()
    }
  }
}
