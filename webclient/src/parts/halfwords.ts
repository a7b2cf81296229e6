/** Half-typed words as they lie in the drafts. */

export function writeWords(text: string): string {
  return JSON.stringify({ text })
}

/** The words of a draft; what is no draft of words is nothing. */
export function readWords(kept: string | null): string {
  try {
    const { text } = JSON.parse(kept ?? '{}') as { text?: unknown }
    return typeof text === 'string' ? text : ''
  } catch {
    return ''
  }
}
