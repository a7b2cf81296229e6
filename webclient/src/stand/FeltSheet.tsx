import { useState } from 'preact/hooks'
import type { JointCard } from '../brain/types.ts'
import { Sheet } from '../parts/Sheet.tsx'
import type { Work } from './work.ts'

interface Props {
  work: Work
  card: JointCard
  close: () => void
}

/** Something felt wrong: which fastener, then what it did. The joint waits until it is dealt with. */
export function FeltSheet({ work, card, close }: Props) {
  const [which, setWhich] = useState<string | null>(null)
  const say = (text: string) => {
    close()
    if (which) void work.goTo(which).then(() => work.capture.put({ text, unit: null }))
  }
  return (
    <Sheet title="Something felt wrong" close={close}>
      <p>{which ? 'What did it do?' : `${card.words}: which one?`}</p>
      {which ? (
        <ul class="keys-list">
          {card.felt.choices.map(({ id, words }) => (
            <li key={id}>
              <button type="button" class="button wide tall" onClick={() => say(id)}>
                It {words}
              </button>
            </li>
          ))}
        </ul>
      ) : (
        <ul class="bolt-keys">
          {card.felt.fasteners.map(({ place, words }) => (
            <li key={place}>
              <button type="button" class="button wide" onClick={() => setWhich(place)}>
                {words}
              </button>
            </li>
          ))}
        </ul>
      )}
    </Sheet>
  )
}
