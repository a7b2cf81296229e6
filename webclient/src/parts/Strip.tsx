import { useState } from 'preact/hooks'
import { StripSheet } from './StripSheet.tsx'
import { strip } from './seam.ts'
import { Sign, tone } from './signs.tsx'
import { stripSays } from './striptext.ts'
import { useTick } from './tick.ts'

const HALF_A_MINUTE = 30_000

/** The strip at the top: is my work at the shop? A tap explains it in words. */
export function Strip() {
  useTick(HALF_A_MINUTE)
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
