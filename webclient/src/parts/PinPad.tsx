import { useEffect } from 'preact/hooks'
import { digitsSaid, MOST_DIGITS } from './pinwords.ts'

const KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '', '0', 'back'] as const

interface Props {
  digits: string
  type: (digits: string) => void
}

function BackFace() {
  return (
    <svg viewBox="0 0 36 24" width="40" height="27" aria-hidden="true">
      <path d="M12 2h22v20H12L2 12z" fill="none" stroke="currentColor" stroke-width="2.6" />
      <path d="M17 8l8 8M25 8l-8 8" stroke="currentColor" stroke-width="2.6" />
    </svg>
  )
}

/** A dot for each digit: nobody at the stand reads them off the screen. */
function Dots({ count }: { count: number }) {
  return (
    <p class="pin-dots" role="status">
      <span class="unseen">{digitsSaid(count)}</span>
      <span aria-hidden="true">{count === 0 ? '–' : '●'.repeat(count)}</span>
    </p>
  )
}

/** A keyboard does the same. Not its Enter: that of a gauge must not answer what nobody has read. */
function useKeyboard({ digits, type }: Props): void {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return
      if (/^[0-9]$/.test(event.key)) type((digits + event.key).slice(0, MOST_DIGITS))
      if (event.key === 'Backspace') type(digits.slice(0, -1))
    }
    document.addEventListener('keydown', press)
    return () => document.removeEventListener('keydown', press)
  }, [digits, type])
}

/** Our own pad for a PIN. What is typed is nowhere but in memory. */
export function PinPad({ digits, type }: Props) {
  useKeyboard({ digits, type })
  return (
    <>
      <Dots count={digits.length} />
      <fieldset class="pin-pad" aria-label="PIN pad">
        {KEYS.map((key) =>
          key === '' ? (
            <span key={key} />
          ) : (
            <button
              key={key}
              type="button"
              class="button pad-key"
              aria-label={key === 'back' ? 'Delete last digit' : key}
              onClick={() =>
                type(key === 'back' ? digits.slice(0, -1) : (digits + key).slice(0, MOST_DIGITS))
              }
            >
              {key === 'back' ? <BackFace /> : key}
            </button>
          ),
        )}
      </fieldset>
    </>
  )
}
