import { beforeEach, expect, it, vi } from 'vitest'

const reload = vi.fn()

/** A browser with a worker that serves the page, and perhaps a new one that waits. */
function browser(waiting: { postMessage: (text: string) => void } | null, controlled = true) {
  const container = Object.assign(new EventTarget(), {
    controller: controlled ? {} : null,
    ready: Promise.resolve(),
    register: vi.fn(async () => registration),
  })
  const registration = Object.assign(new EventTarget(), {
    waiting,
    installing: null as EventTarget | null,
    update: vi.fn(async () => undefined),
  })
  vi.stubGlobal('navigator', { serviceWorker: container })
  vi.stubGlobal('document', Object.assign(new EventTarget(), { visibilityState: 'visible' }))
  vi.stubGlobal('location', { reload })
  return { container, registration }
}

async function page() {
  vi.resetModules()
  vi.stubEnv('DEV', false)
  return import('./update.ts')
}

beforeEach(() => {
  vi.unstubAllGlobals()
  reload.mockClear()
})

it('says nothing while there is nothing new', async () => {
  browser(null)
  const { registerWorker, updateReady } = await page()
  await registerWorker()
  expect(updateReady.value).toBe(false)
})

it('a new version waits until nothing is half entered, then says so', async () => {
  browser({ postMessage: vi.fn() })
  const { registerWorker, updateReady, halfEntered } = await page()
  halfEntered.value = true
  await registerWorker()
  expect(updateReady.value).toBe(false)
  halfEntered.value = false
  expect(updateReady.value).toBe(true)
})

it('never reloads while something is half entered', async () => {
  const waiting = { postMessage: vi.fn() }
  browser(waiting)
  const { registerWorker, applyUpdate, halfEntered } = await page()
  await registerWorker()
  halfEntered.value = true
  applyUpdate()
  expect(waiting.postMessage).not.toHaveBeenCalled()
  expect(reload).not.toHaveBeenCalled()
})

it('lets the new version in when asked, and reloads when it has taken over', async () => {
  const waiting = { postMessage: vi.fn() }
  const { container } = browser(waiting)
  const { registerWorker, applyUpdate } = await page()
  await registerWorker()
  applyUpdate()
  expect(waiting.postMessage).toHaveBeenCalledWith('take over')
  expect(reload).not.toHaveBeenCalled()
  container.dispatchEvent(new Event('controllerchange'))
  expect(reload).toHaveBeenCalledTimes(1)
})

it('a page whose neighbour let the new version in is told, not reloaded', async () => {
  const { container } = browser(null)
  const { registerWorker, updateReady, applyUpdate } = await page()
  await registerWorker()
  container.dispatchEvent(new Event('controllerchange'))
  expect(reload).not.toHaveBeenCalled()
  expect(updateReady.value).toBe(true)
  applyUpdate()
  expect(reload).toHaveBeenCalledTimes(1)
})

it('the first worker of a device is no news', async () => {
  const { container } = browser({ postMessage: vi.fn() }, false)
  const { registerWorker, updateReady } = await page()
  await registerWorker()
  container.dispatchEvent(new Event('controllerchange'))
  expect(updateReady.value).toBe(false)
  expect(reload).not.toHaveBeenCalled()
})

it('finds a version that finishes installing later', async () => {
  const { registration } = browser(null)
  const { registerWorker, updateReady } = await page()
  await registerWorker()
  registration.installing = new EventTarget()
  registration.dispatchEvent(new Event('updatefound'))
  Object.assign(registration, { waiting: { postMessage: vi.fn() } })
  registration.installing.dispatchEvent(new Event('statechange'))
  expect(updateReady.value).toBe(true)
})

it('says when the app can be opened without network', async () => {
  browser(null)
  const { registerWorker, worksOffline } = await page()
  await registerWorker()
  expect(worksOffline.value).toBe(true)
})

it.each([
  ['has no workers', {}, 'not allowed'],
  [
    'refuses the worker',
    { serviceWorker: { register: () => Promise.reject(new Error('SSL')) } },
    'not trusted',
  ],
])('says when the browser %s, and works on with the server', async (_, navigator, why) => {
  browser(null)
  vi.stubGlobal('navigator', navigator)
  const { registerWorker, updateReady, whyNotKept, worksOffline } = await page()
  await registerWorker()
  expect(worksOffline.value).toBe(false)
  expect(whyNotKept.value).toBe(why)
  expect(updateReady.value).toBe(false)
})

it('forgets what was in the way once the worker is in', async () => {
  const { container } = browser(null)
  container.register.mockRejectedValueOnce(new TypeError('Failed to fetch'))
  const { registerWorker, whyNotKept, worksOffline } = await page()
  await registerWorker()
  expect(whyNotKept.value).toBe('not reached')
  await registerWorker()
  expect(whyNotKept.value).toBeNull()
  expect(worksOffline.value).toBe(true)
})
