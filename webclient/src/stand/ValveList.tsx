import type { Guide, GuideValve } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'

const SIGNS: Record<GuideValve['state'], string> = {
  done: 'accepted',
  next: 'measured',
  open: 'not started',
  "couldn't": 'out',
}

/** The order of one turn-through; a tap opens that valve with the pad. */
export function ValveList({ guide, open }: { guide: Guide; open: (place: string) => void }) {
  return (
    <details class="fold">
      <summary>The order, valve by valve</summary>
      <ol class="valve-list">
        {guide.list.map((valve) => (
          <li key={valve.place}>
            <button
              type="button"
              class="valve-open"
              aria-current={valve.state === 'next' ? 'step' : undefined}
              onClick={() => open(valve.place)}
            >
              <Sign name={SIGNS[valve.state]} />
              <span class="grow">{valve.words}</span>
              <span class="soft small">{valve.angle}</span>
              <span>{valve.flag ?? (valve.state === 'open' ? '' : valve.state)}</span>
              {valve.reason !== null && <span class="valve-reason">Couldn't: {valve.reason}</span>}
            </button>
          </li>
        ))}
      </ol>
    </details>
  )
}
