import type { Caution } from '../brain/types.ts'
import { Sign } from './signs.tsx'

/** A step's cautions in full, each with its sign. */
export function CautionList({ cautions }: { cautions: Caution[] }) {
  if (cautions.length === 0) return null
  return (
    <ul class="stack" aria-label="Cautions">
      {cautions.map(({ id, line }) => (
        <li key={id} class="flag warn">
          <Sign name="WARN" /> <span>{line}</span>
        </li>
      ))}
    </ul>
  )
}
