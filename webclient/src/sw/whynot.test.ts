import { expect, it } from 'vitest'
import { whyNot } from './whynot.ts'

const securityError = (words: string) => new DOMException(words, 'SecurityError')

it('knows a certificate that is merely ignored from everything else that goes wrong', () => {
  const ignored = securityError(
    "Failed to register a ServiceWorker for scope ('https://shop.local:8443/') with script ('https://shop.local:8443/sw.js'): An SSL certificate error occurred when fetching the script.",
  )
  expect(whyNot(ignored, true)).toBe('not trusted')
  const passedOver = 'Failed to register a ServiceWorker for scope (…) with script (…): '
  const unknown = 'An unknown error occurred when fetching the script.'
  expect(whyNot(securityError(passedOver + unknown), true)).toBe('not trusted')
  expect(whyNot(securityError('The operation is insecure.'), true)).toBe('not allowed')
})

it('names plain http before whatever the browser says of it', () => {
  expect(whyNot(new TypeError('navigator.serviceWorker is undefined'), false)).toBe('not secure')
})

it('does not blame the certificate when the shop is not in reach', () => {
  const words = 'An unknown error occurred when fetching the script.'
  expect(whyNot(new TypeError(`Failed to register a ServiceWorker: ${words}`), true)).toBe(
    'not reached',
  )
})

it('says that it is not allowed where the browser has no such thing', () => {
  expect(whyNot(new TypeError("Cannot read properties of undefined (reading 'x')"), true)).toBe(
    'not allowed',
  )
  expect(whyNot('?', true)).toBe('not allowed')
})
