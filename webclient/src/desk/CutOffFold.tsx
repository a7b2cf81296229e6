import { useEffect, useState } from 'preact/hooks'
import { cutOff, identity } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { useWords, type Words } from '../parts/words.ts'
import { type Device, deviceName } from './phonewords.ts'

const NO_REASON: Trouble = {
  code: 'reason',
  message: 'Cutting off wants its reason: say why in a few words.',
}

function useCuttingOff(device: Device, words: Words, done: () => void) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const [busy, setBusy] = useState(false)
  const send = (event: Event) => {
    event.preventDefault()
    const reason = words.text.trim()
    if (busy) return
    if (reason === '') return setTrouble(NO_REASON)
    setBusy(true)
    cutOff(device.id, reason)
      .then(() => {
        words.drop()
        done()
      })
      .catch((failure) => setTrouble(troubleOf(failure)))
      .finally(() => setBusy(false))
  }
  return { trouble, busy, send }
}

/** The desk may be about to lock itself out. */
function OwnWarning({ device }: { device: Device }) {
  const [own, setOwn] = useState(false)
  useEffect(() => {
    identity().then((me) => setOwn(me.device === device.id), console.warn)
  }, [device.id])
  return own ? <p class="flag-words stop">This is the browser that you are sitting at.</p> : null
}

/** Lets a device in no more: opened with one tap, done with the second. */
export function CutOffFold({ device, done }: { device: Device; done: () => void }) {
  const words = useWords(`cut off/${device.id}`)
  const { trouble, busy, send } = useCuttingOff(device, words, done)
  const field = `cut-off-${device.id}`
  return (
    <details class="fold phone-cut">
      <summary>
        <span class="unseen">{deviceName(device)}: </span>Cut off
      </summary>
      <form class="stack" onSubmit={send}>
        <p>
          It is let in no more, at once: nothing comes to it and nothing is taken from it over the
          network. Whoever signed in on it is signed out, and signs in again elsewhere. What it has
          not sent can still be handed in by file. To let it in again, join it with a new code.
        </p>
        <OwnWarning device={device} />
        <div class="field">
          <label for={field}>Cut off, because</label>
          <input
            id={field}
            autocomplete="off"
            value={words.text}
            onInput={(event) => words.type(event.currentTarget.value)}
          />
        </div>
        <TroubleLine trouble={trouble} />
        <button type="submit" class="button" aria-disabled={busy}>
          Cut it off now
        </button>
      </form>
    </details>
  )
}
