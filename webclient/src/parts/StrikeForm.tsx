import { useId, useState } from 'preact/hooks'

/** A reading is struck out with a reason, or not at all. */
export function StrikeForm({ strike }: { strike: (reason: string) => void }) {
  const [reason, setReason] = useState('')
  const name = useId()
  const send = (event: Event) => {
    event.preventDefault()
    if (reason.trim() !== '') strike(reason.trim())
  }
  return (
    <form class="field" onSubmit={send}>
      <label for={name}>Struck out, because</label>
      <input
        id={name}
        autocomplete="off"
        value={reason}
        onInput={(event) => setReason(event.currentTarget.value)}
      />
      <button type="submit" class="button wide" disabled={reason.trim() === ''}>
        Strike it out
      </button>
    </form>
  )
}
