import { expect, it } from 'vitest'
import { isOnlyHere } from './labelwords.ts'

it('knows an address that only the server’s own machine finds', () => {
  for (const own of ['http://127.0.0.1:8765/build/x', 'http://localhost/', 'http://[::1]:8765/'])
    expect(isOnlyHere(own)).toBe(true)
  for (const others of [
    'https://shop.local:8443/build/x',
    'http://192.168.1.127/',
    'https://book.example/',
  ])
    expect(isOnlyHere(others)).toBe(false)
})
