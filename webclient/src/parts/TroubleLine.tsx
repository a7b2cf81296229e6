import { Sign } from './signs.tsx'
import type { Trouble } from './trouble.ts'

/** A failure in a sentence, read out at once. */
export function TroubleLine({ trouble }: { trouble: Trouble | null }) {
  return (
    <div role="alert" class="trouble-place">
      {trouble && (
        <p class="flag stop">
          <Sign name="out" /> <span>{trouble.message}</span>
        </p>
      )}
    </div>
  )
}
