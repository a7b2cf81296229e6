/**
 * SHA-256 (FIPS 180-4) at once, over short texts in a row: a book of thousands of entries is a chain in which each hash
 * waits for the one before it, and the browser's own way answers each of them on a later turn.
 */
const BLOCK = 64
const WORDS = 8
/** Behind the message stand a one bit and its length in 64 bits. */
const TAIL = 9

/** So many primes from 2 on. */
function primes(count: number): number[] {
  const found: number[] = []
  for (let next = 2; found.length < count; next += 1) {
    if (found.every((prime) => next % prime !== 0)) found.push(next)
  }
  return found
}

/** The first 32 bits behind the point. */
function fraction(x: number): number {
  return ((x - Math.floor(x)) * 2 ** 32) | 0
}

/** FIPS 180-4, 4.2.2 and 5.3.3: of the cube roots of the first 64 primes, of the square roots of the first 8. */
const ROUNDS = Int32Array.from(primes(BLOCK), (prime) => fraction(Math.cbrt(prime)))
const START = Int32Array.from(primes(WORDS), (prime) => fraction(Math.sqrt(prime)))

const schedule = new Int32Array(BLOCK)

function turned(x: number, by: number): number {
  return (x >>> by) | (x << (32 - by))
}

/** 6.2.2, step 1: the block as 64 words. */
function spread(view: DataView, at: number): void {
  const w = schedule
  for (let t = 0; t < 16; t += 1) w[t] = view.getInt32(at + 4 * t)
  for (let t = 16; t < BLOCK; t += 1) {
    const [x, y] = [w[t - 15] as number, w[t - 2] as number]
    const s0 = turned(x, 7) ^ turned(x, 18) ^ (x >>> 3)
    const s1 = turned(y, 17) ^ turned(y, 19) ^ (y >>> 10)
    w[t] = (s1 + (w[t - 7] as number) + s0 + (w[t - 16] as number)) | 0
  }
}

/** 6.2.2, steps 2 to 4. */
function stir(state: Int32Array): void {
  const [w, k] = [schedule, ROUNDS]
  let a = state[0] as number
  let b = state[1] as number
  let c = state[2] as number
  let d = state[3] as number
  let e = state[4] as number
  let f = state[5] as number
  let g = state[6] as number
  let h = state[7] as number
  for (let t = 0; t < BLOCK; t += 1) {
    const s1 = turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)
    const one = (h + s1 + (g ^ (e & (f ^ g))) + (k[t] as number) + (w[t] as number)) | 0
    const s0 = turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)
    const two = (s0 + ((a & b) | (c & (a | b)))) | 0
    h = g
    g = f
    f = e
    e = (d + one) | 0
    d = c
    c = b
    b = a
    a = (one + two) | 0
  }
  add(state, 0, a)
  add(state, 1, b)
  add(state, 2, c)
  add(state, 3, d)
  add(state, 4, e)
  add(state, 5, f)
  add(state, 6, g)
  add(state, 7, h)
}

function add(state: Int32Array, at: number, word: number): void {
  state[at] = ((state[at] as number) + word) | 0
}

/** How many bytes a message of `length` takes with what stands behind it. */
export function padded(length: number): number {
  return Math.ceil((length + TAIL) / BLOCK) * BLOCK
}

/** Hash of the first `length` bytes of `bytes`, in 8 words; writes behind them, up to `padded(length)`. */
export function sha256In(bytes: Uint8Array, length: number): Int32Array {
  const end = padded(length)
  const view = new DataView(bytes.buffer, bytes.byteOffset, end)
  bytes.fill(0, length, end)
  bytes[length] = 0x80
  view.setUint32(end - 8, Math.floor(length / 2 ** 29))
  view.setUint32(end - 4, (length * 8) % 2 ** 32)
  const state = START.slice()
  for (let at = 0; at < end; at += BLOCK) {
    spread(view, at)
    stir(state)
  }
  return state
}

/** Eight words as 64 digits. */
export function hexOf(words: Int32Array): string {
  let text = ''
  for (const word of words) text += (word >>> 0).toString(16).padStart(8, '0')
  return text
}
