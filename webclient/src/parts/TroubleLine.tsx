import { useEffect, useRef } from 'preact/hooks'
import { Sign } from './signs.tsx'
import type { Trouble } from './trouble.ts'

/** A failure in a sentence, read out at once, and brought into sight where the screen is low. */
export function TroubleLine({ trouble }: { trouble: Trouble | null }) {
  const place = useRef<HTMLDivElement>(null)
  useEffect(() => {
    if (trouble) place.current?.scrollIntoView({ block: 'nearest' })
  }, [trouble])
  return (
    <div role="alert" class="trouble-place" ref={place}>
      {trouble && (
        <p class="flag stop">
          <Sign name="out" /> <span>{trouble.message}</span>
        </p>
      )}
    </div>
  )
}
