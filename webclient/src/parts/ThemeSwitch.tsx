import { chooseTheme, type Theme, theme } from './theme.ts'

const CHOICES: { id: Theme; words: string }[] = [
  { id: 'system', words: 'As the phone' },
  { id: 'light', words: 'Day' },
  { id: 'dark', words: 'Night' },
]

/** Three choices, all in sight: the phone's own, black on white, white on black. */
export function ThemeSwitch() {
  return (
    <fieldset class="choices" aria-label="Light or dark">
      {CHOICES.map(({ id, words }) => (
        <button
          key={id}
          type="button"
          class="button plain"
          aria-pressed={theme.value === id}
          onClick={() => chooseTheme(id)}
        >
          {words}
        </button>
      ))}
    </fieldset>
  )
}
