import { useEffect } from 'preact/hooks'
import { address, match, to } from '../parts/router.ts'
import { findSession, session } from '../parts/seam.ts'
import { Board } from './Board.tsx'
import { Customers } from './Customers.tsx'
import { DeskBuild } from './DeskBuild.tsx'
import { DeskHead } from './DeskHead.tsx'
import { Held } from './Held.tsx'
import { NewBuild } from './NewBuild.tsx'
import { Phones } from './Phones.tsx'
import { Review } from './Review.tsx'
import { SignIn } from './SignIn.tsx'
import { WhoCameIn } from './WhoCameIn.tsx'

function Screen({ path }: { path: string }) {
  const build = match('/desk/build/:id', path)
  if (build?.id) return <DeskBuild key={build.id} build={build.id} />
  if (match('/desk/review', path)) return <Review />
  if (match('/desk/held', path)) return <Held />
  if (match(to.phones, path)) return <Phones />
  if (match('/desk/new', path)) return <NewBuild />
  if (match(to.customers, path)) return <Customers />
  if (match(to.access, path)) return <WhoCameIn />
  return <Board />
}

/** The lead's side: signed in, then board, review, builds. */
export function Desk() {
  useEffect(() => {
    findSession().catch(() => undefined) // Out of reach: the sign-in says so when it is tried.
  }, [])
  if (!session.value?.person) return <SignIn />
  return (
    <>
      <DeskHead person={session.value.person} />
      <Screen path={address.value.path} />
    </>
  )
}
