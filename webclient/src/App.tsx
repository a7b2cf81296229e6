import { Desk } from './desk/Desk.tsx'
import { FirstLead } from './desk/FirstLead.tsx'
import { address, match, to } from './parts/router.ts'
import { Stand } from './stand/Stand.tsx'

function Side({ path }: { path: string }) {
  if (match(to.first, path)) return <FirstLead />
  return path.startsWith('/desk') ? <Desk /> : <Stand />
}

/** The phone at the stand, the lead's desk, or a shop's beginning: the address decides. */
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
