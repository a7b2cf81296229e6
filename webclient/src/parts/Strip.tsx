import { useEffect, useState } from 'preact/hooks'
import { StripSheet } from './StripSheet.tsx'
import { strip } from './seam.ts'
import { Sign, tone } from './signs.tsx'
import { stripSays } from './striptext.ts'

/** Draws anew each half minute, so that "4 min ago" does not stand still. */
function useTicking(): void {
  const [, tick] = useState(0)
  useEffect(() => {
    const timer = setInterval(() => tick((n) => n + 1), 30_000)
    return () => clearInterval(timer)
  }, [])
}

/** The strip at the top: is my work at the shop? A tap explains it in words. */
export function Strip() {
  useTicking()
  const [open, setOpen] = useState(false)
  const { sign, words } = stripSays(strip.value)
  const [what, when] = words.split(' · ')
  return (
    <>
      <button type="button" class={`strip ${tone(sign)}`} onClick={() => setOpen(true)}>
        <Sign name={sign} />
        <span class="unseen">At the shop: </span>
        <span>
          {what} {when && <span class="strip-when">· {when}</span>}
        </span>
      </button>
      {open && <StripSheet close={() => setOpen(false)} />}
    </>
  )
}
