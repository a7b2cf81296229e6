/** Chance by a seed, waiting, and a clock that can be wrong. */

/** The same numbers for the same seed on every machine. */
export function chanceOf(seed) {
  let at = seed | 0
  function below(most) {
    at = (at + 0x6d2b79f5) | 0
    let t = Math.imul(at ^ (at >>> 15), at | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return most > 0 ? ((t ^ (t >>> 14)) >>> 0) % most : 0
  }
  function weighted(pairs) {
    let left = below(pairs.reduce((sum, [, weight]) => sum + weight, 0))
    return pairs.find(([, weight]) => {
      left -= weight
      return left < 0
    })[0]
  }
  return { below, of: (list) => list[below(list.length)], weighted }
}

export function pause(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms))
}

const DAY = 24 * 3600 * 1000
const TrueDate = Date
let skew = 0

/** The page's own clock, as far as the app asks for the time of day. */
globalThis.Date = class extends TrueDate {
  constructor(...words) {
    if (words.length) super(...words)
    else super(TrueDate.now() + skew)
  }

  static now() {
    return TrueDate.now() + skew
  }
}

export const clock = {
  async move(days) {
    skew = days * DAY
  },
}
