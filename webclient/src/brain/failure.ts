/** An error of the brain: what it refused, or why it is not there. `message` is ready for the screen. */
import type { BrainError } from './types.ts'

export class BrainFailure extends Error {
  readonly code: string
  readonly details: Record<string, unknown>

  constructor({ code, message, details }: BrainError, cause?: unknown) {
    super(message, { cause })
    this.name = 'BrainFailure'
    this.code = code
    this.details = details
  }
}

/** The interpreter or the pack could not be loaded; the next call tries again. */
export function notThere(cause: unknown): BrainFailure {
  const message =
    'The part that judges readings could not be started. Readings are kept; open the app once where it reaches the shop.'
  return new BrainFailure({ code: 'brain_missing', message, details: {} }, cause)
}

/** The brain broke down over one call: a fault of ours, told with what Python said. */
export function brokeDown(name: string, cause: unknown): BrainFailure {
  const message = 'This could not be judged because of a fault in the app. The readings are kept.'
  const said = cause instanceof Error ? cause.message : String(cause)
  return new BrainFailure({ code: 'brain_failed', message, details: { call: name, said } }, cause)
}
