/** Screens that tell the time: drawn anew every so often. */
import { useEffect, useState } from 'preact/hooks'

/** Draws the component anew every `every` ms, so that "4 min ago" does not stand still. */
export function useTick(every: number): void {
  const [, tick] = useState(0)
  useEffect(() => {
    const timer = setInterval(() => tick((n) => n + 1), every)
    return () => clearInterval(timer)
  }, [every])
}
