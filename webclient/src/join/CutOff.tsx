import { to } from '../parts/router.ts'
import { StorageSection } from '../parts/StorageSection.tsx'
import { strip } from '../parts/seam.ts'
import { Sign } from '../parts/signs.tsx'
import { unsentHere } from './cutoffwords.ts'

/** The shop has cut this device off: what lies here only, and the way to hand it in. */
export function CutOff() {
  return (
    <main class="page stack" id="main">
      <h1 class="flag stop">
        <Sign name="abort" /> <span>The shop has cut this device off</span>
      </h1>
      <p>
        It is let in no more: nothing goes to the shop from here, and nothing comes. A lead did that
        at the desk, for a device that was lost or is in use no more.
      </p>
      <h2>What lies here</h2>
      <p role="status">{unsentHere(strip.value)}</p>
      <StorageSection />
      <h2>If it was cut off by mistake</h2>
      <p>Ask a lead for a new code and join again. What lies here stays as it is.</p>
      <p>
        <a class="button wide" href={to.join}>
          Join again with a new code
        </a>
      </p>
    </main>
  )
}
