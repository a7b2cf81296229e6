import { Sheet } from './Sheet.tsx'
import { people } from './seam.ts'
import { hand, handTo } from './spell.ts'
import { ThemeSwitch } from './ThemeSwitch.tsx'

/** The people of the shop, each a key for a gloved hand. */
export function PeopleKeys({ chosen }: { chosen: (person: string) => void }) {
  return (
    <ul class="keys-list">
      {people.value.map(({ id, name, role }) => (
        <li key={id}>
          <button
            type="button"
            class="button plain wide person-key"
            aria-pressed={hand.value === id}
            onClick={() => chosen(id)}
          >
            <span class="grow">{name}</span> <span class="small">{role}</span>
          </button>
        </li>
      ))}
    </ul>
  )
}

/** Two taps hand the phone over: the name at the top, then the next person. Day and night live here too. */
export function HandSheet({ close }: { close: () => void }) {
  const chosen = (person: string) => {
    void handTo(person)
    close()
  }
  return (
    <Sheet title="Who is at the stand?" close={close}>
      <PeopleKeys chosen={chosen} />
      <div class="stack">
        <h3>Screen</h3>
        <ThemeSwitch />
      </div>
    </Sheet>
  )
}
