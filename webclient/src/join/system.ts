/** On what a page is open, as far as its steps differ from one to the other. */

export type System = 'android' | 'ios' | 'other'

/** What a browser says of itself. */
export interface Browser {
  userAgent: string
  maxTouchPoints: number
  /** iOS says so where an app was opened from the home screen. */
  standalone?: boolean
}

/** An iPad asks for the pages of a computer and calls itself one; no such computer has a touch screen. */
function isTablet({ userAgent, maxTouchPoints }: Browser): boolean {
  return /\bMacintosh\b/.test(userAgent) && maxTouchPoints > 1
}

export function systemOf(browser: Browser): System {
  if (/\bAndroid\b/.test(browser.userAgent)) return 'android'
  if (/\b(iPhone|iPad|iPod)\b/.test(browser.userAgent) || isTablet(browser)) return 'ios'
  return 'other'
}

/**
 * A page shown by another app, such as a chat or a code reader: it installs nothing, and what it keeps is gone with
 * that app. On Android such a view says "wv"; on iOS it leaves out the word that every browser there has.
 */
export function isInAnotherApp(browser: Browser): boolean {
  const system = systemOf(browser)
  if (system === 'android') return /;\s*wv\)/.test(browser.userAgent)
  return system === 'ios' && !browser.standalone && !/\bSafari\//.test(browser.userAgent)
}
