import { canBuzz, canSpeak, feel, setFeel } from './feel.ts'

interface SwitchProps {
  words: string
  on: boolean
  turn: (on: boolean) => void
}

function Switch({ words, on, turn }: SwitchProps) {
  return (
    <button
      type="button"
      role="switch"
      class="button plain wide left"
      aria-checked={on}
      onClick={() => turn(!on)}
    >
      <span class="grow">{words}</span> <strong>{on ? 'on' : 'off'}</strong>
    </button>
  )
}

/** How the phone tells that a reading is kept, besides the screen; only what this phone can do. */
export function FeelSwitches() {
  const { buzz, voice } = feel.value
  const speaks = canSpeak()
  if (!canBuzz() && !speaks) return null
  return (
    <section class="stack" aria-label="When a reading is kept">
      <h3>When a reading is kept</h3>
      {canBuzz() && <Switch words="Buzz" on={buzz} turn={(on) => setFeel({ buzz: on })} />}
      {speaks && <Switch words="Read it back" on={voice} turn={(on) => setFeel({ voice: on })} />}
    </section>
  )
}
