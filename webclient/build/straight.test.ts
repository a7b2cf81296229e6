import type { Rolldown } from 'vite'
import { describe, expect, it } from 'vitest'
import { straight } from './straight.ts'

type Bundle = Record<string, Rolldown.OutputChunk>

const chunk = (fileName: string, more: object) =>
  ({ type: 'chunk', fileName, exports: [], imports: [], moduleIds: [], ...more }) as object

/** The files of a build after the plugin has looked at them. */
function built(...chunks: object[]): Bundle {
  const bundle = Object.fromEntries(
    (chunks as Rolldown.OutputChunk[]).map((one) => [one.fileName, one]),
  )
  const hook = straight().generateBundle as (options: object, bundle: Bundle) => void
  hook({}, bundle)
  return bundle
}

const FIRST = chunk('assets/first-a.js', { isEntry: true, code: 'import("./part-b.js")' })
const BETWEEN = chunk('assets/part-b.js', {
  code: 'import"./part-c.js";',
  imports: ['assets/part-c.js'],
})
const PART = chunk('assets/part-c.js', { code: 'open();export{a as b}', exports: ['b'] })

describe('a file that only names another', () => {
  it('is left out, and what asked for it asks for the other', () => {
    const files = built(structuredClone(FIRST), BETWEEN, PART)
    expect(Object.keys(files)).toEqual(['assets/first-a.js', 'assets/part-c.js'])
    expect(files['assets/first-a.js']?.code).toBe('import("./part-c.js")')
  })

  it('stays where it has something to say of its own', () => {
    const named = { ...BETWEEN, exports: ['open'] }
    const doing = { ...BETWEEN, moduleIds: ['/src/part.ts'] }
    for (const own of [named, doing])
      expect(Object.keys(built(structuredClone(FIRST), own, PART))).toHaveLength(3)
  })
})
