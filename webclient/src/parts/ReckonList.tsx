import { type ReckonChapter, useReckon } from './reckon.ts'
import { TroubleLine } from './TroubleLine.tsx'

/** All calculators by chapter, each with what it is for. */
export function ReckonList({ href }: { href: (name: string) => string }) {
  const { answer, failed } = useReckon<{ chapters: ReckonChapter[] }>({})
  if (failed) return <TroubleLine trouble={failed} />
  if (!answer) return <p aria-busy="true">Looking them up …</p>
  return (
    <div class="stack reckon-list">
      {answer.chapters.map(({ title, calculators }) => (
        <details key={title} class="fold">
          <summary>
            <h2>{title}</h2>
          </summary>
          <ul class="cards">
            {calculators.map((one) => (
              <li key={one.name}>
                <a class="card" href={href(one.name)}>
                  <span class="step-title">{one.title}</span>
                  <span>{one.purpose}</span>
                </a>
              </li>
            ))}
          </ul>
        </details>
      ))}
    </div>
  )
}
