/** The brain's catalogue as the build baked it in: there before the brain is. */
import { signal } from '@preact/signals'
import type { Catalogue } from '../brain/types.ts'

/** Null until it is read, a few milliseconds after the start. */
export const catalogue = signal<Catalogue | null>(null)

let reading: Promise<Catalogue> | null = null

async function readBaked(): Promise<Catalogue> {
  const baked = await import('../../generated/catalogue.json')
  const read = baked.default as unknown as Catalogue
  catalogue.value = read
  return read
}

export function findCatalogue(): Promise<Catalogue> {
  reading ??= readBaked()
  return reading
}

/** The version that every entry carries. */
export async function tradeVersion(): Promise<string> {
  return (await findCatalogue()).trade_version
}
