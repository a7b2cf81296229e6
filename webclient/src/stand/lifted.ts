/**
 * A key acts when the finger lifts from it. The click that a browser makes of the same tap comes some milliseconds
 * later and is no second press; a click of its own, from a keyboard or a screen reader, is one.
 */

/** So soon after the finger the click of its tap comes, at the latest (ms). */
const CLICK_FOLLOWS = 1_000

export class Lifted {
  private readonly down = new Map<number, Element>()
  /** When a finger lifted from a key whose click may still come. */
  private readonly pressed = new Map<EventTarget | null, number>()

  goesDown(event: PointerEvent): void {
    this.pressed.delete(event.currentTarget)
    if (event.button === 0) this.down.set(event.pointerId, event.currentTarget as Element)
  }

  leaves(event: PointerEvent): void {
    this.down.delete(event.pointerId)
  }

  /** Whether the finger lifts from the key that it went down on; a finger that slid off has thought better of it. */
  lifts(event: PointerEvent): boolean {
    const key = this.down.get(event.pointerId)
    this.down.delete(event.pointerId)
    if (key === undefined || key !== event.currentTarget || !lies(event, key)) return false
    this.pressed.set(key, event.timeStamp)
    return true
  }

  /** Whether a click stands for itself. */
  isPress(event: MouseEvent): boolean {
    const lifted = this.pressed.get(event.currentTarget)
    this.pressed.delete(event.currentTarget)
    return lifted === undefined || event.timeStamp - lifted > CLICK_FOLLOWS
  }
}

function lies({ clientX, clientY }: PointerEvent, key: Element): boolean {
  const { left, right, top, bottom } = key.getBoundingClientRect()
  return left <= clientX && clientX <= right && top <= clientY && clientY <= bottom
}
