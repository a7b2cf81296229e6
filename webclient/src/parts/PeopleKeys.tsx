import { people } from './seam.ts'
import { hand } from './spell.ts'

interface Props {
  chosen: (person: string) => void
  /** Whom to show; everybody where it is not said. */
  which?: { id: string; name: string; role: string }[]
}

/** People of the shop, each a key for a gloved hand. */
export function PeopleKeys({ chosen, which }: Props) {
  return (
    <ul class="keys-list">
      {(which ?? people.value).map(({ id, name, role }) => (
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
