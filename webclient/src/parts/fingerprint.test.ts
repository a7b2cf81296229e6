import { expect, it } from 'vitest'
import { fingerprintLines } from './fingerprint.ts'

it('reads the same however it is written', () => {
  const bytes = Array.from({ length: 32 }, (_, at) => at.toString(16).padStart(2, '0'))
  const lines = fingerprintLines(bytes.join(':'))
  expect(lines).toHaveLength(4)
  expect(lines[0]).toBe('0001 0203 0405 0607')
  expect(lines[3]).toBe('1819 1A1B 1C1D 1E1F')
  expect(fingerprintLines(bytes.join('').toUpperCase())).toEqual(lines)
  expect(fingerprintLines(lines.join('\n'))).toEqual(lines)
})
