/**
 * Where a phone keeps its imprint: the browser's cache of files, one at a time. Losing it costs a slower start and
 * nothing else, so no failure here is anybody's concern.
 */
const CACHE = 'standbook-imprint'
const ADDRESS = '/imprint'

/** Addresses of what an imprint is made with: they have a hash of the content in them. */
export interface Makings {
  script: string
  wasm: string
  pack: string
}

export interface Imprint {
  bytes: Uint8Array<ArrayBuffer>
  madeOf: string
}

export function nameOf({ script, wasm, pack }: Makings): string {
  return [script, wasm, pack].join(' ')
}

/** The one that is kept, whatever it was made of; null where there is none, or not all of it. */
export async function lastImprint(): Promise<Imprint | null> {
  try {
    const kept = await (await caches.open(CACHE)).match(ADDRESS)
    if (!kept) return null
    const bytes = new Uint8Array(await kept.arrayBuffer())
    const whole = bytes.length === Number(kept.headers.get('made-long'))
    return whole ? { bytes, madeOf: kept.headers.get('made-of') ?? '' } : null
  } catch {
    return null
  }
}

/** Keeps this one in place of the last. */
export async function keepImprint({ bytes, madeOf }: Imprint): Promise<void> {
  const headers = { 'made-of': madeOf, 'made-long': `${bytes.length}` }
  await (await caches.open(CACHE)).put(ADDRESS, new Response(bytes, { headers }))
}

/** Throws it away: what was started from it broke down. */
export async function dropImprint(): Promise<void> {
  await globalThis.caches?.delete(CACHE).catch(() => false)
}
