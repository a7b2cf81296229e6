/** The brain's catalogue as the build baked it in: there before the brain is. */
import { type ReadonlySignal, signal } from '@preact/signals'
import baked from '../../generated/catalogue.json'
import type { Catalogue } from '../brain/types.ts'

const read = baked as unknown as Catalogue

export const catalogue: ReadonlySignal<Catalogue | null> = signal(read)

/** The version that every entry carries. */
export async function tradeVersion(): Promise<string> {
  return read.trade_version
}
