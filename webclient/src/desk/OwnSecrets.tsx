import { useState } from 'preact/hooks'
import { changeOwnPassword, changeOwnPin } from '../parts/seam.ts'
import { useDoing } from './doing.ts'
import { SecretField } from './PersonFields.tsx'

/** The own password and PIN, by who knows the password. */
export function OwnSecrets() {
  const [known, setKnown] = useState('')
  const password = useDoing()
  const pin = useDoing()
  return (
    <details class="fold">
      <summary>Your own password and PIN</summary>
      <div class="person-forms">
        <div class="field">
          <label for="own-known">Your password now</label>
          <input
            id="own-known"
            type="password"
            autocomplete="current-password"
            value={known}
            onInput={(event) => setKnown(event.currentTarget.value)}
          />
          <p class="help">Asked for before either is changed.</p>
        </div>
        <SecretField
          id="own-pin"
          label="Your new PIN, 6 to 12 digits"
          help="For signing at the stand."
          act="Change my PIN"
          digits
          doing={pin}
          send={(fresh) => changeOwnPin(known, fresh)}
          done="You have the new PIN."
        />
        <SecretField
          id="own-password"
          label="Your new password, at least 8 characters"
          help="Other browsers in which you are signed in are signed out."
          act="Change my password"
          doing={password}
          send={(fresh) => changeOwnPassword(known, fresh)}
          done="You sign in with the new password from now on."
        />
      </div>
    </details>
  )
}
