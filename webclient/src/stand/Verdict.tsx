import type { GroupView, LimitView, Preview, ValueView } from '../brain/types.ts'
import { LimitBar } from '../parts/LimitBar.tsx'
import { Said } from '../parts/signs.tsx'
import { limitToShow, valueToShow, wantsWords } from './headline.ts'

function LimitWords({ value, limit }: { value: ValueView; limit: LimitView }) {
  return (
    <p class="limit-words">
      <strong>
        {value.short} {limit.band}
      </strong>{' '}
      <span class="limit-source">{limit.source}</span>
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

/** The echo in the other unit, and the verdict in sign and word. */
export function EchoLine({ preview }: { preview: Preview | null }) {
  const value = preview && valueToShow(preview, null)
  return (
    <p class="echo-line" id="verdict" aria-live="polite">
      <span class="echo">{preview?.value?.echo}</span>
      {preview?.error && <span class="said quiet">{preview.error.message}</span>}
      {preview?.verdict && (
        <span class="row">
          {value?.shown && <span>{`${value.short} ${value.shown.text}`}</span>}
          <Said name={preview.verdict} />
        </span>
      )}
    </p>
  )
}

/** The sentence with what to do, when the verdict is anything but plainly in. */
export function Sentence({ preview }: { preview: Preview | null }) {
  if (!preview || !wantsWords(preview.verdict)) return null
  return <p class="sentence">{preview.sentence}</p>
}
