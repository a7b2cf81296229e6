import { expect, it } from 'vitest'
import { qrBox, qrPath } from './qrpath.ts'

/** The modules that a path covers, read back bar by bar. */
function drawn(path: string, size: number): string[] {
  const rows = Array.from({ length: size }, () => Array(size).fill('0'))
  for (const bar of path.matchAll(/M(\d+) (\d+)h(\d+)v1h-(\d+)z/g)) {
    const [x, y, width, back] = bar.slice(1).map(Number) as [number, number, number, number]
    expect(back).toBe(width)
    rows[y]?.fill('1', x, x + width)
  }
  return rows.map((row) => row.join(''))
}

it('draws each dark module and no light one', () => {
  const rows = ['1110', '0001', '1011', '0000']
  expect(drawn(qrPath(rows), 4)).toEqual(rows)
  expect(qrPath(rows)).toBe('M0 0h3v1h-3zM3 1h1v1h-1zM0 2h1v1h-1zM2 2h2v1h-2z')
})

it('leaves four modules of white on every side', () => {
  expect(qrBox(Array(29).fill('0'.repeat(29)))).toBe('-4 -4 37 37')
})
