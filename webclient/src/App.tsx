import { Desk } from './desk/Desk.tsx'
import { FirstLead } from './desk/FirstLead.tsx'
import { CutOff } from './join/CutOff.tsx'
import { Join } from './join/Join.tsx'
import { address, to } from './parts/router.ts'
import { trust } from './parts/seam.ts'
import { Stand } from './stand/Stand.tsx'

function Side({ path }: { path: string }) {
  if (path === to.first) return <FirstLead />
  if (path === to.join) return <Join />
  if (trust.value === 'cut off') return <CutOff />
  return path.startsWith('/desk') ? <Desk /> : <Stand />
}

/**
 * The phone at the stand, the lead's desk, a shop's beginning or a device's: the address decides, and whether the shop
 * lets this device in.
 */
export function App() {
  return (
    <>
      <a class="skip-to" href="#main">
        To the work
      </a>
      <Side path={address.value.path} />
    </>
  )
}
