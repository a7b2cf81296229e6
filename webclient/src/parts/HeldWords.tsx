import { readEntry, whatItSays, whoAndWhere } from './heldwords.ts'
import { buildState, people } from './seam.ts'
import { Sign } from './signs.tsx'

/** Job and step in words; null for a build that is not on this device. */
function where(build: string, step: string | null): string | null {
  const state = buildState(build).value
  if (!state) return null
  const steps = state.stages.flatMap((stage) => stage.steps)
  return [state.job, steps.find(({ id }) => id === step)?.title].filter(Boolean).join(' ')
}

function nameOf(person: string): string {
  const known = people.value.find(({ id }) => id === person)
  return known?.name ?? 'somebody whom the shop does not know'
}

/** What an entry says, and who made it, when and where. */
export function EntryWords({ text }: { text: string | null }) {
  const written = readEntry(text)
  return (
    <>
      <strong>{whatItSays(written)}</strong>
      <br />
      <span class="soft small">{whoAndWhere(written, { nameOf, where })}</span>
    </>
  )
}

/** An entry that the book does not take: what it was, and why. */
export function HeldWords({ text, reason }: { text: string | null; reason: string }) {
  return (
    <>
      <p class="flag warn held-what">
        <Sign name="WARN" />
        <span>
          <EntryWords text={text} />
        </span>
      </p>
      <p>Kept back: {reason}</p>
    </>
  )
}
