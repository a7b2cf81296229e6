import { beforeEach, expect, it, vi } from 'vitest'
import { freshBrowser } from '../testing/device.ts'

const JONAS = 'person of the test'

beforeEach(() => {
  vi.resetModules()
  vi.unstubAllGlobals()
  freshBrowser()
  vi.doMock('../../generated/catalogue.json', () => ({ default: { trade_version: 'test' } }))
})

/** A page of the app: modules of its own over the storage that is there. */
async function page() {
  return { ...(await import('./spell.ts')), ...(await import('./seam.ts')) }
}

it('names the hand on the screen no earlier than on the disk: a page that dies in between asks once', async () => {
  const first = await page()
  await first.findHand()
  const seen: unknown[] = []
  first.hand.subscribe(async (now) => {
    if (now) seen.push(await first.recall('spell/person'))
  })
  // An earlier write holds the disk up, as a pull does.
  const before = first.remember('something else', 1)
  const handed = first.handTo(JONAS)
  expect(first.hand.value).toBeNull()
  await Promise.all([before, handed])
  await vi.waitFor(() => expect(seen).toMatchObject([{ value: JONAS }]))
  vi.resetModules()
  const next = await page()
  await next.findHand()
  expect(next.hand.value).toBe(JONAS)
})

it('goes on with a hand that the disk refuses, and says so', async () => {
  const only = await page()
  await only.findHand()
  vi.stubGlobal('indexedDB', {
    open: () => {
      throw new Error('no disk')
    },
  })
  vi.resetModules()
  const broken = await page()
  await broken.handTo(JONAS)
  expect(broken.hand.value).toBe(JONAS)
  expect(broken.trouble.value).not.toBeNull()
})
