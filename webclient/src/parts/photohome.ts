/** Where a picture of this device is: here only, at the shop, or kept back because the shop does not take it. */
import { signal } from '@preact/signals'
import { photoHomes } from './seam.ts'

type Homes = Awaited<ReturnType<typeof photoHomes>>
type Home = keyof Homes

const HOME_WORDS: Record<Home, string> = {
  here: 'on this device only',
  shop: 'at the shop',
  refused: 'not taken by the shop',
}

const homes = signal<Homes | null>(null)

/** Looks again; to be called when pictures were taken or sent. */
export function lookForHomes(): void {
  photoHomes().then(
    (found) => {
      homes.value = found
    },
    () => undefined, // Not known: then nothing is said.
  )
}

/** Where it is, in words; null for a picture of another device, and while it is not known. */
export function homeWords(sha256: string): string | null {
  const found = homes.value
  if (found === null) return null
  const home = (Object.keys(HOME_WORDS) as Home[]).find((name) => found[name].includes(sha256))
  return home ? HOME_WORDS[home] : null
}
