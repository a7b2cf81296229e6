/**
 * A sheet that comes up from the bottom, where the thumb is. The page behind stays in sight and keeps its
 * digits; Escape, the close button and a tap beside it all close it.
 */
import type { ComponentChildren } from 'preact'
import { useEffect, useId, useRef } from 'preact/hooks'

interface Props {
  title: string
  close: () => void
  children: ComponentChildren
  /** False: the sheet asks something that wants an answer; only its own buttons and Escape leave it. */
  light?: boolean
}

/**
 * The browser gives the focus back to the box behind a closed sheet, but leaves the caret where the thumb last
 * was: in the sheet's words. What a gauge types would go nowhere.
 */
function takeCaret(): void {
  const box = document.activeElement
  if (!(box instanceof HTMLInputElement)) return
  box.blur()
  box.focus({ preventScroll: true })
}

export function Sheet({ title, close, children, light = true }: Props) {
  const dialog = useRef<HTMLDialogElement>(null)
  const heading = useRef<HTMLHeadingElement>(null)
  const name = useId()
  useEffect(() => {
    const element = dialog.current
    if (element && !element.open) element.showModal()
    // Not a key: the Enter of a gauge must not answer a question that nobody has read.
    heading.current?.focus()
    return () => {
      element?.close()
      takeCaret()
    }
  }, [])
  const beside = (event: MouseEvent) => light && event.target === dialog.current && close()
  const leave = (event: Event) => {
    event.preventDefault()
    close()
  }
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: Escape does the same from the keyboard
    <dialog ref={dialog} class="sheet" aria-labelledby={name} onCancel={leave} onClick={beside}>
      <div class="sheet-in">
        <div class="sheet-head">
          <h2 id={name} ref={heading} tabIndex={-1}>
            {title}
          </h2>
          <button type="button" class="button plain" onClick={close}>
            Close
          </button>
        </div>
        {children}
      </div>
    </dialog>
  )
}
