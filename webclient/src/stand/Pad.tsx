import type { Capture } from './capture.ts'
import { onLift } from './lifted.ts'
import { BACK, KEYS, type Key, POINT } from './pad.ts'

const NAMES: Partial<Record<Key, string>> = { [POINT]: 'Point', [BACK]: 'Delete last digit' }

function Face({ of }: { of: Key }) {
  if (of === POINT) return <span class="point">.</span>
  if (of !== BACK) return <>{of}</>
  return (
    <svg viewBox="0 0 36 24" width="40" height="27" aria-hidden="true">
      <path d="M12 2h22v20H12L2 12z" fill="none" stroke="currentColor" stroke-width="2.6" />
      <path d="M17 8l8 8M25 8l-8 8" stroke="currentColor" stroke-width="2.6" />
    </svg>
  )
}

/** Our own pad: three columns by four rows, each key as large as a gloved thumb. */
export function Pad({ capture }: { capture: Capture }) {
  return (
    <fieldset class="pad" aria-label="Pad">
      {KEYS.map((key) => (
        <button
          key={key}
          type="button"
          class="button pad-key"
          aria-label={NAMES[key] ?? key}
          {...onLift(() => capture.press(key))}
        >
          <Face of={key} />
        </button>
      ))}
    </fieldset>
  )
}
