import { describe, expect, it } from 'vitest'
import { clockSays, GUIDES, goOnTo } from './says.ts'

const NOW = new Date(2026, 10, 25, 10, 5)
const HOUR = 3_600_000

describe('the door', () => {
  it('hands the code on behind the address only', () => {
    const address = goOnTo('https://shop.local:8443', '7K3F9QPM')
    expect(address).toBe('https://shop.local:8443/join#7K3F9QPM')
    expect(new URL(address).hash).toBe('#7K3F9QPM')
    expect(new URL(address).search + new URL(address).pathname).not.toContain('7K3F')
    expect(goOnTo('https://shop.local:8443', '')).toBe('https://shop.local:8443/join')
  })

  it('says that the clock is wrong only when it is, and what it shows', () => {
    const theirs = (ahead: number) => new Date(NOW.getTime() - ahead).toISOString()
    expect(clockSays('', NOW)).toBeNull()
    expect(clockSays(theirs(-59 * 60_000), NOW)).toBeNull()
    expect(clockSays(theirs(-7 * 365 * 24 * HOUR), NOW)).toMatch(
      /clock says Wed Nov 25 2026, 10:05/,
    )
    expect(clockSays(theirs(2 * HOUR), NOW)).toMatch(/set date and time to automatic/)
  })

  it('tells each system where it is installed, checked and taken off', () => {
    for (const guide of Object.values(GUIDES)) {
      expect(guide.steps.length).toBeGreaterThan(2)
      expect(guide.check).toMatch(/SHA-256/)
      expect(guide.steps.at(-1)).toMatch(/ome back to this page/)
    }
    expect(GUIDES.ios.steps.join()).toMatch(/Certificate Trust Settings/)
    expect(GUIDES.android.steps.join()).toMatch(/CA certificate/)
  })
})
