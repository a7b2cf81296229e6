import type { ReadingView } from '../brain/types.ts'
import { nameOf } from './spell.ts'
import { moment } from './when.ts'

function told(reading: ReadingView): string {
  if (reading.shown) return reading.shown.words
  return `Not measured, because ${reading.not_measured ?? 'no reason was given'}`
}

/** Who read it, when, with what, and whether the shop has it. */
export function InkSource({ reading }: { reading: ReadingView }) {
  return (
    <p class="soft small">
      {nameOf(reading.person)}, {moment(reading.made_at)}
      {reading.instrument && `, ${reading.instrument}`}
      {reading.seq === null && ', not at the shop yet'}
    </p>
  )
}

/** One reading as ink: struck through with its reason where it no longer counts, never gone. */
export function InkLine({ reading }: { reading: ReadingView }) {
  const words = told(reading)
  return (
    <div class="ink">
      <p class="ink-value">
        {reading.struck === null ? (
          <strong>{words}</strong>
        ) : (
          <s>
            <span class="unseen">struck out: </span>
            {words}
          </s>
        )}{' '}
        <span>{reading.why_words}</span>
      </p>
      {reading.struck !== null && <p class="ink-reason">{reading.struck}</p>}
      <InkSource reading={reading} />
      {reading.note && <p class="ink-note">“{reading.note}”</p>}
    </div>
  )
}
