/**
 * Why a browser does not take the service worker, and with it the app.
 *
 * A page that opens after "go on all the same" at a certificate warning looks well and is not trusted: only the
 * worker's registration tells.
 */

export type WhyNotKept = 'not trusted' | 'not secure' | 'not reached' | 'not allowed'

function isAbout(failure: unknown, words: RegExp): boolean {
  return failure instanceof Error && words.test(failure.message)
}

function isNamed(failure: unknown, name: string): boolean {
  return failure instanceof Error && failure.name === name
}

/** `secure`: the page came over a way that a browser trusts at all. `failure`: what the registration threw. */
export function whyNot(failure: unknown, secure: boolean): WhyNotKept {
  if (!secure) return 'not secure'
  if (isAbout(failure, /certificate|\bSSL\b|\bTLS\b/i)) return 'not trusted'
  // Chromium where a warning was tapped away: the script came, and over a way that it does not trust.
  if (isNamed(failure, 'SecurityError') && isAbout(failure, /fetching the script/i))
    return 'not trusted'
  // Neither says more than that the worker's script did not come.
  if (failure instanceof TypeError && isAbout(failure, /fetch|load|network/i)) return 'not reached'
  return 'not allowed'
}
