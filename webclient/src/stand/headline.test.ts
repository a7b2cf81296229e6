import { describe, expect, it } from 'vitest'
import type { GroupView, LimitView, Preview, ValueView } from '../brain/types.ts'
import { limitToShow, valueToShow } from './headline.ts'

const limit = (id: string, verdict: string) => ({ id, verdict }) as LimitView
const value = (id: string, verdict: string, limits: LimitView[] = []) =>
  ({ id, verdict, limits }) as ValueView
const group = (values: ValueView[]) => ({ values }) as GroupView
const preview = (verdict: string, values: ValueView[]) => ({ verdict, values }) as Preview

describe('what stands beside a typed number', () => {
  it('is the value that gave the verdict', () => {
    const values = [value('taper', 'in', [limit('l', 'in')]), value('clearance', 'out')]
    expect(valueToShow(preview('out', values), null)?.id).toBe('clearance')
  })

  it('is, before a number is typed, the first value of the group that has a limit', () => {
    const values = [value('size', 'shown'), value('taper', 'in', [limit('l', 'in')])]
    expect(valueToShow(null, group(values))?.id).toBe('taper')
    expect(valueToShow(preview('in', []), group(values))?.id).toBe('taper')
    expect(valueToShow(null, null)).toBeNull()
  })

  it('is the limit that the verdict comes from', () => {
    const judged = value('taper', 'out', [limit('note', 'in'), limit('stop', 'out')])
    expect(limitToShow(judged)?.id).toBe('stop')
    expect(limitToShow(value('size', 'shown'))).toBeNull()
  })
})
