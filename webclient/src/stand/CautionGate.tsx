import type { Caution } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'

/** One line and one tap, where the hand is about to act. */
export function CautionGate({ caution, tap }: { caution: Caution; tap: () => void }) {
  return (
    <section class="gate dock" aria-label="Before you start">
      <p class="gate-line">
        <Sign name="WARN" large /> <strong>{caution.line}</strong>
      </p>
      <button type="button" class="button main wide gate-key" onClick={tap}>
        Checked
      </button>
    </section>
  )
}
