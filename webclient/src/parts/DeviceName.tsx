import { useEffect, useState } from 'preact/hooks'
import { DEVICE_NAME, recall, remember, trouble } from './seam.ts'

/** The server takes 120 characters; a list reads well with half of them. */
export const LONGEST = 60

function complain(failure: Error): void {
  trouble.value = failure
}

/** The device's name as it is kept here, and the way to change it. */
export function useDeviceName() {
  const [name, setName] = useState('')
  useEffect(() => {
    recall<string>(DEVICE_NAME).then((kept) => setName((now) => now || (kept ?? '')), complain)
  }, [])
  const change = (next: string) => {
    setName(next)
    remember(DEVICE_NAME, next.trim()).catch(complain)
  }
  return { name, change }
}

/** What the shop calls this device; it goes to the shop with the next entry. */
export function DeviceName() {
  const { name, change } = useDeviceName()
  return (
    <div class="field">
      <label for="device-name">Its name in the shop</label>
      <input
        id="device-name"
        autocomplete="off"
        maxLength={LONGEST}
        aria-describedby="device-name-help"
        value={name}
        onInput={(event) => change(event.currentTarget.value)}
      />
      <span class="help" id="device-name-help">
        “Phone at stand 2”. The desk lists it under this name from its next entry on.
      </span>
    </div>
  )
}
