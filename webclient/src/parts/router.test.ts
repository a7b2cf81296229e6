// @vitest-environment node
import { describe, expect, it, vi } from 'vitest'

vi.stubGlobal('location', { pathname: '/', search: '' })
const { asked, match, to } = await import('./router.ts')

describe('addresses', () => {
  it('names the parts of an address that fits', () => {
    expect(match('/build/:id/step/:step', '/build/b1/step/main%20bearing')).toEqual({
      id: 'b1',
      step: 'main bearing',
    })
  })

  it('takes an address with a slash at its end for the same screen', () => {
    expect(match('/desk', '/desk/')).toEqual({})
  })

  it('refuses another length, another word and an empty part', () => {
    expect(match('/build/:id', '/build/b1/step/s')).toBeNull()
    expect(match('/build/:id', '/desk/b1')).toBeNull()
    expect(match('/build/:id/step/:step', '/build//step/s')).toBeNull()
  })

  it('writes addresses that it reads back', () => {
    const parts = match('/build/:id/step/:step', to.step('a/b', 'c d'))
    expect(parts).toEqual({ id: 'a/b', step: 'c d' })
  })

  it('reads one word of the query', () => {
    expect(asked('?show=table&x=1', 'show')).toBe('table')
    expect(asked('', 'show')).toBeNull()
  })
})
