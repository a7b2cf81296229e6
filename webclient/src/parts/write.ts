/** Writing into the book: every screen's entries pass here, with the person and the brain's version. */
import type { BookEntry, NewEntry } from './seam.ts'
import { record, tradeVersion } from './seam.ts'

export type Fact = Omit<NewEntry, 'person' | 'trade_version'>

/** Records `fact` as made by `person`; resolves when it is on the disk. */
export async function enter(fact: Fact, person: string | null | undefined): Promise<BookEntry> {
  if (!person)
    throw Object.assign(new Error('Say first who is at the stand.'), { code: 'nobody_there' })
  return record({ ...fact, person, trade_version: await tradeVersion() })
}
