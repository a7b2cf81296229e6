import { codeOf, SIGNS, shownCode } from './code.ts'

const stay = (event: Event) => event.preventDefault()

function Back() {
  return (
    <svg viewBox="0 0 36 24" width="36" height="24" aria-hidden="true">
      <path d="M12 2h22v20H12L2 12z" fill="none" stroke="currentColor" stroke-width="2.6" />
      <path d="M17 8l8 8M25 8l-8 8" stroke="currentColor" stroke-width="2.6" />
    </svg>
  )
}

interface Props {
  code: string
  type: (code: string) => void
}

/** The code as it is typed; a keyboard types into it, the phone's own stays away: the pad is ours. */
export function CodeBox({ code, type }: Props) {
  return (
    <div class="field">
      <label for="join-code">The code that the desk shows</label>
      <input
        id="join-code"
        class="code-box"
        inputMode="none"
        autocomplete="off"
        autocapitalize="characters"
        spellcheck={false}
        value={shownCode(code)}
        onInput={(event) => {
          const next = codeOf(event.currentTarget.value)
          event.currentTarget.value = shownCode(next)
          type(next)
        }}
      />
    </div>
  )
}

/** A key for each sign that a code can have, and one that takes the last back. */
export function CodePad({ code, type }: Props) {
  return (
    <fieldset class="code-pad" aria-label="Signs of the code">
      {SIGNS.map((sign) => (
        <button
          key={sign}
          type="button"
          class="button code-key"
          onMouseDown={stay}
          onClick={() => type(codeOf(code + sign))}
        >
          {sign}
        </button>
      ))}
      <button
        type="button"
        class="button code-key code-back"
        aria-label="Delete the last sign"
        onMouseDown={stay}
        onClick={() => type(code.slice(0, -1))}
      >
        <Back />
      </button>
    </fieldset>
  )
}
