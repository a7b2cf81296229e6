import type { Flag } from '../brain/types.ts'
import { Sign, tone } from './signs.tsx'

/** A flag in one line: its sign, its severity as a word, the sentence, and the answer where there is one. */
export function FlagLine({ flag }: { flag: Flag }) {
  return (
    <p class={`flag ${tone(flag.severity)}`}>
      <Sign name={flag.severity} />
      <span>
        <strong>{flag.severity}</strong> {flag.words}
        {flag.answer && <em class="answer"> {flag.answer}</em>}
      </span>
    </p>
  )
}

/** Flags in the order the brain gave them: worst first. */
export function FlagList({ flags, label }: { flags: Flag[]; label: string }) {
  if (flags.length === 0) return null
  return (
    <ul class="flags" aria-label={label}>
      {flags.map((flag) => (
        <li key={flag.id}>
          <FlagLine flag={flag} />
        </li>
      ))}
    </ul>
  )
}
