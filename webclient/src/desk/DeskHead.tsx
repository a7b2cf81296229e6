import { useState } from 'preact/hooks'
import { News } from '../parts/News.tsx'
import { address, to } from '../parts/router.ts'
import { Strip } from '../parts/Strip.tsx'
import { engines, signOut } from '../parts/seam.ts'
import { ThemeSwitch } from '../parts/ThemeSwitch.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { holdsForLead, waitingForLead } from './review.ts'

function Tab({ href, words }: { href: string; words: string }) {
  const here = address.value.path === href
  return (
    <li>
      <a class="tab" href={href} aria-current={here ? 'page' : undefined}>
        {words}
      </a>
    </li>
  )
}

function LeaveKey() {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const leave = () => {
    signOut().catch((failure) => setTrouble(troubleOf(failure)))
  }
  return (
    <>
      <button type="button" class="button plain" onClick={leave}>
        Sign out
      </button>
      <TroubleLine trouble={trouble} />
    </>
  )
}

/** The desk's head: what there is to see, who sees it. */
export function DeskHead({ person }: { person: { name: string } }) {
  const waiting = waitingForLead(engines.value).length + holdsForLead(engines.value).length
  return (
    <header class="desk-head">
      <Strip />
      <News />
      <div class="desk-bar">
        <nav aria-label="Desk">
          <ul class="tabs">
            <Tab href={to.desk} words="Board" />
            <Tab href={to.review} words={`Waits for you (${waiting})`} />
            <Tab href={to.held} words="Held back" />
            <Tab href={to.phones} words="Phones" />
            <Tab href={to.people} words="People" />
            <Tab href={to.instruments} words="Instruments" />
            <Tab href={to.access} words="Who came in" />
            <Tab href={to.newBuild} words="Open a build" />
            <Tab href={to.deskCalculators} words="Calculators" />
          </ul>
        </nav>
        <div class="row">
          <strong>{person.name}</strong>
          <LeaveKey />
          <details class="view-menu">
            <summary>Screen</summary>
            <ThemeSwitch />
          </details>
        </div>
      </div>
    </header>
  )
}
