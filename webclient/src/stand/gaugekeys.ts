/**
 * A gauge is a keyboard to the phone: digits, Enter. They land in the box wherever the caret was left. Where a card
 * stands that has no box, the place opens to which it leads, with the digits in it. The Enter after digits never
 * presses the key on which a thumb left the caret: what nothing here can take is kept nowhere, and that is said.
 */
import { useEffect } from 'preact/hooks'

/** What a gauge types one by one before its Enter. */
const OF_A_VALUE = /^[0-9.,+-]$/

/** What a key meets on the screen. */
export interface Screen {
  /** A sheet asks, or a field of words has the caret: the key is none of ours. */
  taken: boolean
  /** The box has the caret. */
  inBox: boolean
  /** Gives the caret to the box; false where there is none. */
  box: () => boolean
}

export interface Hand {
  /** The digit opens the place of the card that stands there; false where none does. */
  typeOnCard: (key: string) => boolean
  /** Keeps what was typed. */
  enter: () => void
  /** Digits that nothing could take. */
  stray: (digits: string) => void
}

export class GaugeKeys {
  private lost = ''
  private onCard = false

  constructor(private readonly hand: Hand) {}

  /** A thumb acts, or the caret stands in the box: what comes now begins anew. */
  forget(): void {
    this.lost = ''
    this.onCard = false
  }

  /** True where the browser is not to do with the key what it would. */
  press(key: string, screen: Screen): boolean {
    if (screen.taken) this.forget()
    else if (OF_A_VALUE.test(key)) return this.digit(key, screen)
    else if (key === 'Enter') return this.enter(screen)
    else if (key !== 'Shift') this.forget()
    return false
  }

  /** A box that comes in the middle of a value does not get the half of it. */
  private digit(key: string, screen: Screen): boolean {
    if (this.lost === '') {
      if (screen.inBox || screen.box()) return false
      if (this.hand.typeOnCard(key)) {
        this.onCard = true
        return true
      }
    }
    this.lost += key
    return true
  }

  private enter({ inBox }: Screen): boolean {
    const { lost, onCard } = this
    this.forget()
    if (lost !== '') this.hand.stray(lost)
    else if (onCard && !inBox) this.hand.enter()
    return lost !== '' || (onCard && !inBox)
  }
}

function isOurs({ ctrlKey, metaKey, altKey }: KeyboardEvent): boolean {
  return !(ctrlKey || metaKey || altKey)
}

function onScreen(target: EventTarget | null): Screen {
  const box = document.querySelector<HTMLInputElement>('input.value')
  const field = target instanceof Element ? target.closest('input, textarea, select') : null
  return {
    taken: (field !== null && field !== box) || document.querySelector('dialog[open]') !== null,
    inBox: field !== null && field === box,
    box: () => {
      box?.focus()
      return box !== null
    },
  }
}

/** Listens for as long as a step stands, over all its screens: no digit falls between two of them. */
export function useGaugeKeys(hand: Hand): void {
  useEffect(() => {
    const keys = new GaugeKeys(hand)
    const press = (event: KeyboardEvent) => {
      if (isOurs(event) && keys.press(event.key, onScreen(event.target))) event.preventDefault()
    }
    const forget = () => keys.forget()
    document.addEventListener('keydown', press)
    document.addEventListener('pointerdown', forget)
    return () => {
      document.removeEventListener('keydown', press)
      document.removeEventListener('pointerdown', forget)
    }
  }, [hand])
}
