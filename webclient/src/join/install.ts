/** Putting the app on the home screen, as far as the browser lets a page ask for it. */
import { signal } from '@preact/signals'
import { to } from '../parts/router.ts'
import type { Browser } from './system.ts'

/** Chromium's offer to install; other browsers have it in a menu of their own. */
interface Offer extends Event {
  prompt: () => Promise<unknown>
}

/** Null while the browser offers nothing. */
export const offer = signal<Offer | null>(null)
/** The app has been put on the home screen while this page was open. */
export const justInstalled = signal(false)

function isOffer(event: Event): event is Offer {
  return 'prompt' in event
}

function take(event: Event): void {
  if (location.pathname !== to.join || !isOffer(event)) return
  // Our own key asks, at the moment when it is the next thing to do.
  event.preventDefault()
  offer.value = event
}

globalThis.addEventListener?.('beforeinstallprompt', take)
globalThis.addEventListener?.('appinstalled', () => {
  offer.value = null
  justInstalled.value = true
})

/** Asks the browser to install; an offer is good for one question. */
export async function install(): Promise<void> {
  const asked = offer.value
  offer.value = null
  await asked?.prompt()
}

/** What this browser says of itself. */
export function thisBrowser(): Browser {
  const { userAgent, maxTouchPoints } = navigator
  return { userAgent, maxTouchPoints, standalone: isInstalled() }
}

/** True: opened from the home screen or the list of apps. */
export function isInstalled(): boolean {
  const ios = (navigator as { standalone?: boolean }).standalone === true
  return ios || matchMedia('(display-mode: standalone)').matches
}
