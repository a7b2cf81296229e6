import { useEffect, useState } from 'preact/hooks'
import type { Guide } from '../brain/types.ts'
import { clockOf, secondsLeft } from './wait.ts'

/** How long still, large, and why; the hand may answer earlier, the book then says so. */
export function Wait({ wait }: { wait: NonNullable<Guide['wait']> }) {
  const [now, setNow] = useState(Date.now())
  useEffect(() => {
    const ticking = setInterval(() => setNow(Date.now()), 1000)
    return () => clearInterval(ticking)
  }, [])
  const left = secondsLeft(wait, now)
  return (
    <section class="wait" aria-label="Wait">
      <p class="wait-left" role="timer">
        {left > 0 ? `Wait ${clockOf(left)}` : 'Waited long enough'}
      </p>
      <p>
        {wait.minutes} min after the last valve. {wait.words}
      </p>
    </section>
  )
}
