import { expect, it } from 'vitest'
import { isInAnotherApp, systemOf } from './system.ts'

const SAFARI = 'AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.1 Mobile/15E148 Safari/604.1'
const PHONES = {
  android:
    'Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/130.0.0.0 Mobile Safari/537.36',
  inAnotherAndroidApp:
    'Mozilla/5.0 (Linux; Android 14; K; wv) AppleWebKit/537.36 (KHTML, like Gecko) Version/4.0 Chrome/130.0.0.0 Mobile Safari/537.36',
  iphone: `Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X) ${SAFARI}`,
  iphoneApp:
    'Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Mobile/15E148',
  ipad: `Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) ${SAFARI}`,
  linux: 'Mozilla/5.0 (X11; Linux x86_64; rv:132.0) Gecko/20100101 Firefox/132.0',
  windows:
    'Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/130.0.0.0 Safari/537.36',
}

const seen = (name: keyof typeof PHONES, maxTouchPoints = 5, standalone = false) => ({
  userAgent: PHONES[name],
  maxTouchPoints,
  standalone,
})

it('tells Android, iOS and a computer apart', () => {
  expect(systemOf(seen('android'))).toBe('android')
  expect(systemOf(seen('inAnotherAndroidApp'))).toBe('android')
  expect(systemOf(seen('iphone'))).toBe('ios')
  expect(systemOf(seen('linux', 0))).toBe('other')
  expect(systemOf(seen('windows', 10))).toBe('other')
})

it('knows a tablet that calls itself a computer by its touch screen', () => {
  expect(systemOf(seen('ipad', 5))).toBe('ios')
  expect(systemOf(seen('ipad', 0))).toBe('other')
})

it('notices a page that another app shows', () => {
  expect(isInAnotherApp(seen('inAnotherAndroidApp'))).toBe(true)
  expect(isInAnotherApp(seen('iphoneApp'))).toBe(true)
  for (const name of ['android', 'iphone', 'ipad', 'linux', 'windows'] as const)
    expect(isInAnotherApp(seen(name))).toBe(false)
})

it('does not take the installed app on an iPhone for another app’s page', () => {
  expect(isInAnotherApp(seen('iphoneApp', 5, true))).toBe(false)
})
