/** A verdict as it stands on a screen: beside a size, "in" alone would be read as inches. */

const WORDS: Record<string, string> = { in: 'in limits', 'in, close': 'in limits, close' }

/** The words for a verdict, severity or state; most are their own. */
export function verdictWords(name: string): string {
  return WORDS[name] ?? name
}

/** What is said of a kept reading; null where there is nothing worth saying, as in a row that is not complete yet. */
export function keptVerdict(verdict: string | null | undefined): string | null {
  if (!verdict || verdict === 'shown' || verdict === 'cannot judge') return null
  return verdictWords(verdict)
}
