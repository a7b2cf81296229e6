/** What went wrong, as one sentence for a person; every part's failures carry `code` and `message`. */

export interface Trouble {
  code: string
  message: string
}

function isTrouble(value: unknown): value is Trouble {
  if (typeof value !== 'object' || value === null) return false
  const { code, message } = value as Record<string, unknown>
  return typeof code === 'string' && typeof message === 'string' && message !== ''
}

/** The failure's own words; an unforeseen one says that nothing was kept and what to try. */
export function troubleOf(failure: unknown): Trouble {
  if (isTrouble(failure)) return { code: failure.code, message: failure.message }
  const detail = failure instanceof Error ? failure.message : String(failure)
  return {
    code: 'unforeseen',
    message: `That did not work and was not kept (${detail}). Your digits are still here: try once more.`,
  }
}
