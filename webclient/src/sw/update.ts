/**
 * The page's side of the service worker: says that a new version waits, and lets it in when asked.
 *
 * A new version never reloads a page by itself: a thumb may be on a key.
 */
import { computed, signal } from '@preact/signals'
import { type WhyNotKept, whyNot } from './whynot.ts'

/** Set by the screens while something is half typed. */
export const halfEntered = signal(false)

const waiting = signal<ServiceWorker | null>(null)
/** Another tab has let the new version in: this one runs on without its worker until it is loaded again. */
const overtaken = signal(false)

/** True when a new version is there and nothing is half entered. */
export const updateReady = computed(
  () => (waiting.value !== null || overtaken.value) && !halfEntered.value,
)

let asked = false

function controllerChanged(): void {
  if (asked) location.reload()
  else overtaken.value = true
}

/** Loads the new version. Does nothing while something is half entered. */
export function applyUpdate(): void {
  if (!updateReady.value) return
  asked = true
  if (waiting.value) waiting.value.postMessage('take over')
  else location.reload()
}

/** A worker that finished installing beside one that serves this page is a new version. */
function watch(registration: ServiceWorkerRegistration): void {
  const look = () => {
    waiting.value = navigator.serviceWorker.controller ? registration.waiting : null
  }
  look()
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', look)
  })
}

/** Looks for a new version whenever somebody comes back to the page. */
function lookAgain(registration: ServiceWorkerRegistration): void {
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') registration.update().catch(() => undefined)
  })
}

/** True: the app opens without network. False: this browser does not keep it. Null: not known yet. */
export const worksOffline = signal<boolean | null>(null)

/** Why this browser does not keep the app; null while it is not known, and where it does. */
export const whyNotKept = signal<WhyNotKept | null>(null)

/** Registers the worker. Where that fails the app works as long as the server is in reach, and says so. */
export async function registerWorker(): Promise<void> {
  if (import.meta.env.DEV) return
  try {
    await register(navigator.serviceWorker)
    whyNotKept.value = null
  } catch (failure) {
    whyNotKept.value = whyNot(failure, globalThis.isSecureContext !== false)
    worksOffline.value = false
  }
}

async function register(workers: ServiceWorkerContainer): Promise<void> {
  // The first worker of a device takes over a page that had none: no news for anybody.
  if (workers.controller) workers.addEventListener('controllerchange', controllerChanged)
  const registration = await workers.register('/sw.js')
  watch(registration)
  lookAgain(registration)
  await workers.ready
  worksOffline.value = true
}
