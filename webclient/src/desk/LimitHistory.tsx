import type { LimitsView } from '../brain/types.ts'
import { nameOf } from '../parts/spell.ts'
import { moment } from '../parts/when.ts'

/** Every change of a limit: who, when, from what to what by which source, and why. */
export function LimitHistory({ changes }: { changes: LimitsView['changes'] }) {
  if (changes.length === 0)
    return <p class="soft">No limit was changed since the build was opened.</p>
  return (
    <ul class="plain-list" aria-label="Changes of limits, the latest first">
      {changes.map((change) => (
        <li key={change.entry} class="place-row">
          <p>
            <strong>{change.words}</strong>: {change.now}
          </p>
          <p class="small">Before: {change.was}</p>
          <p class="soft small">
            {nameOf(change.person)}, {moment(change.at)}
          </p>
          {change.reason && <p class="ink-note">“{change.reason}”</p>}
        </li>
      ))}
    </ul>
  )
}
