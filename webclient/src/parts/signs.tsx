/**
 * Signs: a shape for each state, so that no state is told by colour alone.
 *
 * Each is drawn on a 24 by 24 ground in the colour of its text; the word stands beside it, never inside.
 */
import type { JSX } from 'preact'
import type { HoldState, Severity, StepState, VerdictWord } from '../brain/types.ts'
import { verdictWords } from './verdictwords.ts'

const line = { fill: 'none', stroke: 'currentColor', 'stroke-width': 2.6 } as const
const cut = { fill: 'none', stroke: 'var(--ground)', 'stroke-width': 2.8 } as const

const ring = <circle cx="12" cy="12" r="9" {...line} />
const disc = <circle cx="12" cy="12" r="10.3" fill="currentColor" />
const tick = <path d="M7 12.5l3.5 3.5L17.5 8.5" {...cut} />
const octagon = <path d="M8 2h8l6 6v8l-6 6H8l-6-6V8z" fill="currentColor" />
const triangle = <path d="M12 2.5L23 21.5H1z" fill="currentColor" />

const SHAPES: Record<string, JSX.Element> = {
  in: (
    <>
      {disc}
      {tick}
    </>
  ),
  'in, close': (
    <>
      <circle cx="10" cy="12" r="8" {...line} />
      <path d="M6.3 12.3l2.7 2.7L14 9.5" {...line} />
      <path d="M22 3v18" {...line} />
    </>
  ),
  'too close, measure again': (
    <>
      <path d="M12 3.6L21.6 20.5H2.4z" {...line} />
      <path
        d="M9.5 11.2a2.6 2.6 0 1 1 3.4 2.5c-.7.3-.9.7-.9 1.5M12 17v1.6"
        {...line}
        stroke-width="2"
      />
    </>
  ),
  out: (
    <>
      <rect x="2" y="2" width="20" height="20" rx="2" fill="currentColor" />
      <path d="M7 7l10 10M17 7L7 17" {...cut} />
    </>
  ),
  abort: (
    <>
      {octagon}
      <path d="M6.5 12h11" {...cut} stroke-width="4" />
    </>
  ),
  shown: <circle cx="12" cy="12" r="4" fill="currentColor" />,
  'cannot judge': (
    <>
      <circle cx="12" cy="12" r="9.4" {...line} stroke-dasharray="4 3.4" />
      <path
        d="M9.3 9.6a2.8 2.8 0 1 1 3.7 2.7c-.8.3-1 .8-1 1.6M12 16v1.6"
        {...line}
        stroke-width="2"
      />
    </>
  ),
  STOP: (
    <>
      {octagon}
      <path d="M6.5 12h11" {...cut} stroke-width="4" />
    </>
  ),
  HOLD: (
    <>
      <rect x="2" y="2" width="20" height="20" rx="2" fill="currentColor" />
      <path d="M9 7v10M15 7v10" {...cut} />
    </>
  ),
  WARN: (
    <>
      {triangle}
      <path d="M12 9v6M12 17v2.4" {...cut} />
    </>
  ),
  NOTE: (
    <>
      {ring}
      <path d="M12 10.8v6M12 6.8v2" {...line} />
    </>
  ),
  'not started': ring,
  'in work': (
    <>
      {ring}
      <path d="M12 3a9 9 0 0 1 0 18z" fill="currentColor" />
    </>
  ),
  measured: (
    <>
      {ring}
      <circle cx="12" cy="12" r="4.6" fill="currentColor" />
    </>
  ),
  accepted: (
    <>
      {disc}
      {tick}
    </>
  ),
  'accepted by lead': (
    <>
      <rect x="2" y="5" width="20" height="14" fill="currentColor" />
      <path d="M7 12l3.5 3.3 6.5-6.6" {...cut} />
      <path d="M2 22h20M2 2h20" {...line} stroke-width="2" />
    </>
  ),
  waiting: ring,
  'ready to sign': (
    <>
      {ring}
      <circle cx="12" cy="12" r="4.6" fill="currentColor" />
    </>
  ),
  'half signed': (
    <>
      {ring}
      <path d="M12 3a9 9 0 0 1 0 18z" fill="currentColor" />
    </>
  ),
  signed: (
    <>
      {disc}
      {tick}
    </>
  ),
  're-check needed': (
    <>
      <path d="M19.5 8A8.5 8.5 0 1 0 20.5 13" {...line} />
      <path d="M20.8 2.5V9h-6.5" {...line} />
    </>
  ),
  unsent: (
    <>
      <path d="M12 20V5M5.5 11L12 4.5 18.5 11" {...line} />
    </>
  ),
  safe: (
    <>
      <path d="M3 10.5L12 3l9 7.5V21H3z" {...line} />
      <path d="M8 14l3 3 5.5-6" {...line} />
    </>
  ),
  away: (
    <>
      {ring}
      <path d="M5.5 18.5l13-13" {...line} />
    </>
  ),
}

/** Which of the five tones of colour goes with a state. */
const TONES: Record<string, string> = {
  in: 'good',
  'in, close': 'note',
  'too close, measure again': 'warn',
  out: 'stop',
  abort: 'stop',
  STOP: 'stop',
  HOLD: 'hold',
  WARN: 'warn',
  NOTE: 'note',
  accepted: 'good',
  'accepted by lead': 'good',
  're-check needed': 'warn',
  'ready to sign': 'hold',
  'half signed': 'hold',
  signed: 'good',
  safe: 'good',
}

/** The tone for a verdict, severity or state; "quiet" where it asks for nothing. */
export function tone(name: string): string {
  return TONES[name] ?? 'quiet'
}

/** The shape alone, hidden from a reader of the screen: the word beside it says the same. */
export function Sign({ name, large = false }: { name: string; large?: boolean }) {
  const shape = large ? 'sign large' : 'sign'
  return (
    <svg class={`${shape} ${tone(name)}`} viewBox="0 0 24 24" aria-hidden="true">
      {SHAPES[name] ?? ring}
    </svg>
  )
}

/** Shape and word together. */
export function Said({
  name,
  words,
}: {
  name: VerdictWord | Severity | StepState | HoldState
  words?: string
}) {
  return (
    <span class={`said ${tone(name)}`}>
      <Sign name={name} /> <span>{words ?? verdictWords(name)}</span>
    </span>
  )
}
