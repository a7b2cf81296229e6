/** Half a number, as it lies in the drafts: the digits, their unit, and what was measured before and set aside. */

export interface Half {
  text: string
  unit: string | null
  tried: string[]
  /** Questions that were answered "found so" for these digits. */
  answered?: string[]
}

/** One draft per field. */
export function draftKey(build: string, step: string, place: string): string {
  return `${build}/${step}/${place}`
}

export function writeHalf(half: Half): string {
  return JSON.stringify(half)
}

/** Null for no draft; a draft of another version gives its text as digits rather than nothing. */
export function readHalf(text: string | null): Half | null {
  if (text === null) return null
  try {
    const half = JSON.parse(text) as Half
    if (typeof half.text === 'string' && Array.isArray(half.tried)) return half
  } catch {
    // Not ours: its text is the digits.
  }
  return { text, unit: null, tried: [] }
}
