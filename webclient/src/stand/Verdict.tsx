import type { GroupView, LimitView, Preview, ValueView } from '../brain/types.ts'
import { LimitBar } from '../parts/LimitBar.tsx'
import { Said } from '../parts/signs.tsx'
import { limitToShow, valueToShow } from './headline.ts'

function LimitWords({ value, limit }: { value: ValueView; limit: LimitView }) {
  return (
    <p class="limit-words">
      <strong>
        {value.short} {value.shown?.text}
      </strong>{' '}
      <span>
        limit {limit.band}, <span class="limit-source">{limit.source}</span>
      </span>
    </p>
  )
}

/** The limit as a bar with its source; one line where there is little height. */
export function LimitLine({
  preview,
  group,
}: {
  preview: Preview | null
  group: GroupView | null
}) {
  const value = valueToShow(preview, group)
  const limit = limitToShow(value)
  if (!value || !limit) return null
  return (
    <div class="limit-line">
      <LimitBar limit={limit} />
      <LimitWords value={value} limit={limit} />
    </div>
  )
}

/** The echo in the other unit, and the verdict in sign and word. A number that ends in its point is not finished. */
export function EchoLine({ preview, text }: { preview: Preview | null; text: string }) {
  const unfinished = /[.,]$/.test(text)
  return (
    <p class="echo-line" id="verdict" aria-live="polite">
      <span class="echo">{preview?.value?.echo}</span>
      {preview?.error && !unfinished && <span class="said quiet">{preview.error.message}</span>}
      {preview?.verdict && <Said name={preview.verdict} />}
    </p>
  )
}

/** What is missing for a verdict, where no limit could be drawn. */
export function Sentence({ preview }: { preview: Preview | null }) {
  const lacking = preview?.verdict === 'cannot judge'
  return lacking ? <p class="sentence">{preview.sentence}</p> : null
}
