import type { Guide, Wait as Lasting } from '../brain/types.ts'
import { shownTime } from '../parts/countdown.ts'
import { useTick } from '../parts/tick.ts'
import { secondsLeft } from './wait.ts'

function useLeft(wait: Lasting): number {
  useTick(1000)
  return secondsLeft(wait, Date.now())
}

/** How long still, counted down. */
export function WaitLeft({ wait, style }: { wait: Lasting; style: string }) {
  const left = useLeft(wait)
  return (
    <p class={style} role="timer">
      {left > 0 ? `Wait ${shownTime(left)}` : 'Waited long enough'}
    </p>
  )
}

/** The same on the card of a valve, whose own figures are what the hand looks for; nothing once it is over. */
export function ShortWait({ wait }: { wait: NonNullable<Guide['wait']> }) {
  if (useLeft(wait) === 0) return null
  return (
    <section class="wait" aria-label="Wait">
      <WaitLeft wait={wait} style="wait-short" />
      <p class="small">
        {wait.minutes} min {wait.after}. {wait.words}
      </p>
    </section>
  )
}

/** How long still, large, and why; the hand may answer earlier and is asked then. */
export function Wait({ wait }: { wait: NonNullable<Guide['wait']> }) {
  const left = useLeft(wait)
  return (
    <section class="wait" aria-label="Wait">
      <WaitLeft wait={wait} style="wait-left" />
      {left > 0 && (
        <p>
          {wait.minutes} min {wait.after}. {wait.words}
        </p>
      )}
    </section>
  )
}
