import { firstUp } from './ReckonInputs.tsx'
import type { ReckonAnswer } from './reckon.ts'
import { Sign } from './signs.tsx'

/** The first few by name: the line stays short with many. */
function wanted(missing: string[]): string {
  const more = missing.length - 2
  return missing.slice(0, 2).join('; ') + (more > 0 ? `; and ${more} more` : '')
}

interface Props {
  answer: ReckonAnswer | null
  /** Shows the first result too, for a hand that does not see the others. */
  first?: boolean
}

/** The line that follows the hand: what is wrong, what is still wanted, or the first result. */
export function ReckonLine({ answer, first }: Props) {
  const result = first ? answer?.results[0] : null
  return (
    <div role="status" class="reckon-line">
      {answer?.problem && (
        <p class="flag stop">
          <Sign name="out" /> <span>{answer.problem.words}</span>
        </p>
      )}
      {answer?.refused && (
        <p class="flag hold">
          <Sign name="HOLD" /> <span>Not by this method: {answer.refused}</span>
        </p>
      )}
      {answer && answer.missing.length > 0 && <p>Still wanted: {wanted(answer.missing)}</p>}
      {result && (
        <p>
          {firstUp(result.words)}: <strong>{result.lines[0]?.split(' (')[0]}</strong>
        </p>
      )}
    </div>
  )
}

/** All results in words, what has to be watched, and where the formula comes from. */
export function ReckonResults({ answer }: { answer: ReckonAnswer }) {
  if (answer.results.length === 0 && answer.cautions.length === 0) return null
  return (
    <section class="stack" aria-label="Results">
      <dl class="reckon-results">
        {answer.results.map(({ words, lines }) => (
          <div key={words}>
            <dt>{firstUp(words)}</dt>
            {lines.map((line, at) => (
              <dd key={at}>{line}</dd>
            ))}
          </div>
        ))}
      </dl>
      {answer.cautions.map((line) => (
        <p key={line} class="flag warn">
          <Sign name="WARN" /> <span>{line}</span>
        </p>
      ))}
      {answer.sources.map((line) => (
        <p key={line} class="soft small">
          Source: {line}
        </p>
      ))}
    </section>
  )
}
