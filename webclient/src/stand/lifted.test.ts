import { describe, expect, it } from 'vitest'
import { Lifted } from './lifted.ts'

const box = { left: 0, right: 60, top: 0, bottom: 60 }
const key = { getBoundingClientRect: () => box }
const other = { getBoundingClientRect: () => box }

function event(more: object = {}): PointerEvent {
  const plain = { pointerId: 1, button: 0, currentTarget: key, clientX: 30, clientY: 30 }
  return { ...plain, timeStamp: 100, ...more } as unknown as PointerEvent
}

describe('a key of the pad', () => {
  it('is pressed once by a tap, though a click follows', () => {
    const lifted = new Lifted()
    lifted.goesDown(event())
    expect(lifted.lifts(event())).toBe(true)
    expect(lifted.isPress(event({ timeStamp: 110 }))).toBe(false)
  })

  it('is pressed by each click of a keyboard or screen reader, also right after a tap', () => {
    const lifted = new Lifted()
    expect(lifted.isPress(event())).toBe(true)
    lifted.goesDown(event())
    lifted.lifts(event())
    lifted.isPress(event({ timeStamp: 110 }))
    expect(lifted.isPress(event({ timeStamp: 120 }))).toBe(true)
  })

  it('is pressed by the next click where the browser was asked for none after the tap', () => {
    const lifted = new Lifted()
    lifted.goesDown(event())
    lifted.lifts(event())
    lifted.endsAlone(event().currentTarget)
    expect(lifted.isPress(event({ timeStamp: 110 }))).toBe(true)
  })

  it('is pressed by a late click where a tap had none', () => {
    const lifted = new Lifted()
    lifted.goesDown(event())
    lifted.lifts(event())
    expect(lifted.isPress(event({ timeStamp: 1_200 }))).toBe(true)
  })

  it('is not pressed by a finger that slid off, scrolled, or went down elsewhere', () => {
    const lifted = new Lifted()
    lifted.goesDown(event())
    expect(lifted.lifts(event({ clientY: 61 }))).toBe(false)
    lifted.goesDown(event())
    lifted.leaves(event())
    expect(lifted.lifts(event())).toBe(false)
    lifted.goesDown(event({ currentTarget: other }))
    expect(lifted.lifts(event())).toBe(false)
  })

  it('is pressed by each of two thumbs', () => {
    const lifted = new Lifted()
    lifted.goesDown(event())
    lifted.goesDown(event({ pointerId: 2, currentTarget: other }))
    expect(lifted.lifts(event())).toBe(true)
    expect(lifted.lifts(event({ pointerId: 2, currentTarget: other }))).toBe(true)
    expect(lifted.isPress(event())).toBe(false)
    expect(lifted.isPress(event({ currentTarget: other }))).toBe(false)
  })

  it('is not pressed by another button of a mouse', () => {
    const lifted = new Lifted()
    lifted.goesDown(event({ button: 2 }))
    expect(lifted.lifts(event({ button: 2 }))).toBe(false)
  })
})
