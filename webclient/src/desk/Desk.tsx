import { useEffect } from 'preact/hooks'
import { address, match, to } from '../parts/router.ts'
import { findSession, session } from '../parts/seam.ts'
import { Board } from './Board.tsx'
import { Customers } from './Customers.tsx'
import { DeskBuild } from './DeskBuild.tsx'
import { DeskHead } from './DeskHead.tsx'
import { DeskHold } from './DeskHold.tsx'
import { DeskReckon, DeskReckoning } from './DeskReckon.tsx'
import { Held } from './Held.tsx'
import { Instruments } from './Instruments.tsx'
import { Label } from './Label.tsx'
import { NewBuild } from './NewBuild.tsx'
import { People } from './People.tsx'
import { Phones } from './Phones.tsx'
import { Review } from './Review.tsx'
import { SignIn } from './SignIn.tsx'
import { WhoCameIn } from './WhoCameIn.tsx'

function Screen({ path }: { path: string }) {
  const label = match('/desk/build/:id/label', path)
  if (label?.id) return <Label key={label.id} build={label.id} />
  const hold = match('/desk/build/:id/hold/:hold', path)
  if (hold?.id && hold.hold)
    return <DeskHold key={`${hold.id}/${hold.hold}`} build={hold.id} hold={hold.hold} />
  const build = match('/desk/build/:id', path)
  if (build?.id) return <DeskBuild key={build.id} build={build.id} />
  if (match('/desk/review', path)) return <Review />
  if (match('/desk/held', path)) return <Held />
  if (match(to.phones, path)) return <Phones />
  if (match(to.people, path)) return <People />
  if (match(to.instruments, path)) return <Instruments />
  if (match('/desk/new', path)) return <NewBuild />
  if (match(to.customers, path)) return <Customers />
  if (match(to.access, path)) return <WhoCameIn />
  if (match(to.deskCalculators, path)) return <DeskReckon />
  const calculator = match('/desk/calculators/:name', path)?.name
  if (calculator) return <DeskReckoning key={calculator} name={calculator} />
  return <Board />
}

/** A sign-in ends by itself when nobody used it for long: whoever comes back is told so before anything is typed. */
function useSession(path: string) {
  useEffect(() => {
    const look = () => {
      findSession().catch(() => undefined) // Out of reach: the sign-in says so when it is tried.
    }
    look()
    document.addEventListener('visibilitychange', look)
    return () => document.removeEventListener('visibilitychange', look)
  }, [path])
}

/** The lead's side: signed in, then board, review, builds. */
export function Desk() {
  useSession(address.value.path)
  if (!session.value?.person) return <SignIn />
  return (
    <>
      <DeskHead person={session.value.person} />
      <Screen path={address.value.path} />
    </>
  )
}
