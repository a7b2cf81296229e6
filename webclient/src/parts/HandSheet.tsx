import { Sheet } from './Sheet.tsx'
import { TakeKeys } from './TakeKeys.tsx'
import { ThemeSwitch } from './ThemeSwitch.tsx'

/** Two taps hand the phone over: the name at the top, then the next person. Day and night live here too. */
export function HandSheet({ close }: { close: () => void }) {
  return (
    <Sheet title="Who is at the stand?" close={close}>
      <TakeKeys taken={close} />
      <div class="stack">
        <h3>Screen</h3>
        <ThemeSwitch />
      </div>
    </Sheet>
  )
}
