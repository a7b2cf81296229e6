import { Desk } from './desk/Desk.tsx'
import { address } from './parts/router.ts'
import { Stand } from './stand/Stand.tsx'

/** The phone at the stand, or the lead's desk: the address decides. */
export function App() {
  return (
    <>
      <a class="skip-to" href="#main">
        To the work
      </a>
      {address.value.path.startsWith('/desk') ? <Desk /> : <Stand />}
    </>
  )
}
