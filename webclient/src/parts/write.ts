/** Writing into the book: every screen's entries pass here, with the person and the brain's version. */
import type { BookEntry, NewEntry } from './seam.ts'
import { type GivenPin, record, sealProof, tradeVersion } from './seam.ts'

export type Fact = Omit<NewEntry, 'person' | 'trade_version'>

/** Records `fact` as made by `person`, with the PIN given for it; resolves when both are on the disk. */
export async function enter(
  fact: Fact,
  person: string | null | undefined,
  given?: GivenPin | null,
): Promise<BookEntry> {
  if (!person)
    throw Object.assign(new Error('Say first who is at the stand.'), { code: 'nobody_there' })
  const prove = given ? { prove: (id: string) => sealProof(given, id) } : {}
  return record({ ...fact, ...prove, person, trade_version: await tradeVersion() })
}
