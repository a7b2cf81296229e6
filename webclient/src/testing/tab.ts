/** The usual beginning of a test: a browser that never saw the app, its only tab, and an empty shop that answers it. */
import { vi } from 'vitest'
import { freshBrowser, openSyncTab } from './device.ts'
import { FakeShop } from './shop.ts'

export type Tab = Awaited<ReturnType<typeof openSyncTab>>

export async function firstTab(): Promise<{ shop: FakeShop; tab: Tab }> {
  vi.unstubAllGlobals()
  vi.restoreAllMocks()
  freshBrowser()
  const shop = new FakeShop()
  const tab = await openSyncTab()
  tab.sync.useFetch(shop.fetch)
  return { shop, tab }
}
