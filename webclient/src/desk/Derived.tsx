/** What follows from a specification, for the eye: firing angles, companions. */
export function Derived({ lines }: { lines: { words: string; shown: string }[] }) {
  if (lines.length === 0) return null
  return (
    <dl class="facts panel" aria-label="What follows from it">
      {lines.map(({ words, shown }) => (
        <div key={words}>
          <dt>{words}</dt>
          <dd>{shown}</dd>
        </div>
      ))}
    </dl>
  )
}
