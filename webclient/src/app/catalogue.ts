/** What the build baked in of the brain's catalogue: there before the brain is. */
import { type ReadonlySignal, signal } from '@preact/signals'
import baked from '../../generated/catalogue.json'
import type { Catalogue } from '../brain/types.ts'

/** The build leaves out what the book's states say anyway. */
type Baked = Omit<Catalogue, 'stages' | 'steps' | 'holds'>

const read = baked as unknown as Baked

export const catalogue: ReadonlySignal<Baked | null> = signal(read)

/** The version that every entry carries. */
export async function tradeVersion(): Promise<string> {
  return read.trade_version
}
