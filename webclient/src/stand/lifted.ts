/**
 * A key acts when the finger lifts from it. The mouse that a browser plays after a tap, down to its click, would stand
 * between the key and what it brings about, and the click could land on what came under the finger meanwhile: the
 * browser is asked for none. Where it comes all the same it is no second press; a click of its own, from a keyboard or a
 * screen reader, is one.
 */
import type { JSX } from 'preact'

/** So soon after the finger the click of its tap comes, at the latest (ms). */
const CLICK_FOLLOWS = 1_000

export class Lifted {
  private readonly down = new Map<number, { key: Element; room: DOMRect }>()
  /** When a finger lifted from a key whose click may still come. */
  private readonly pressed = new WeakMap<EventTarget, number>()

  goesDown(event: PointerEvent): void {
    this.pressed.delete(event.currentTarget as Element)
    if (event.button !== 0) return
    const key = event.currentTarget as Element
    // Looked up now: when the finger lifts nobody should wait for it.
    this.down.set(event.pointerId, { key, room: key.getBoundingClientRect() })
  }

  leaves(event: PointerEvent): void {
    this.down.delete(event.pointerId)
  }

  /** Whether the finger lifts from the key that it went down on; a finger that slid off has thought better of it. */
  lifts(event: PointerEvent): boolean {
    const down = this.down.get(event.pointerId)
    this.down.delete(event.pointerId)
    if (down?.key !== event.currentTarget || !lies(event, down.room)) return false
    this.pressed.set(down.key, event.timeStamp)
    return true
  }

  /** No click follows: the next one stands for itself. */
  endsAlone(key: EventTarget | null): void {
    this.pressed.delete(key as Element)
  }

  /** Whether a click stands for itself. */
  isPress(event: MouseEvent): boolean {
    const lifted = this.pressed.get(event.currentTarget as Element)
    this.pressed.delete(event.currentTarget as Element)
    return lifted === undefined || event.timeStamp - lifted > CLICK_FOLLOWS
  }
}

function lies({ clientX, clientY }: PointerEvent, { left, right, top, bottom }: DOMRect): boolean {
  return left <= clientX && clientX <= right && top <= clientY && clientY <= bottom
}

const lifted = new Lifted()

/** Keys must not take the caret from the box: a gauge that types goes on typing into it. */
function stay(event: Event): boolean {
  if (event.cancelable) event.preventDefault()
  return event.defaultPrevented
}

/**
 * The key under a finger looks pressed from the next picture on: what a browser makes of the tap is not waited for, and a
 * finger that is gone by then has its digit to show for it.
 */
class Pressed {
  private readonly soon = new Map<number, ReturnType<typeof setTimeout>>()

  down({ currentTarget, pointerId, pointerType }: PointerEvent): void {
    const key = currentTarget as Element
    const look = () => key.toggleAttribute('data-down', true)
    if (pointerType === 'touch') this.soon.set(pointerId, setTimeout(look))
  }

  up({ currentTarget, pointerId }: PointerEvent): void {
    clearTimeout(this.soon.get(pointerId))
    this.soon.delete(pointerId)
    const key = currentTarget as Element
    key.removeAttribute('data-down')
  }
}

const pressed = new Pressed()

/** What makes a button such a key. */
export function onLift(act: () => void): JSX.HTMLAttributes<HTMLButtonElement> {
  return {
    onMouseDown: stay,
    onTouchEnd: (event) => stay(event) && lifted.endsAlone(event.currentTarget),
    onPointerDown: (event) => {
      lifted.goesDown(event)
      pressed.down(event)
    },
    onPointerCancel: (event) => {
      lifted.leaves(event)
      pressed.up(event)
    },
    onPointerUp: (event) => {
      if (lifted.lifts(event)) act()
      pressed.up(event)
    },
    onClick: (event) => lifted.isPress(event) && act(),
  }
}
