import type { ComponentChildren } from 'preact'

interface Props {
  /** The main action; it lies where the thumb is. */
  act?: ComponentChildren
  children: ComponentChildren
}

/** One screen of the joining: what to do, and the key for it below. */
export function Page({ act, children }: Props) {
  return (
    <main class="floor" id="main">
      <div class="page stack join">{children}</div>
      {act && <div class="dock stack">{act}</div>}
    </main>
  )
}
