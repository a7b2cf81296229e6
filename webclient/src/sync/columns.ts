/** A page of the book that came as columns, put together again; the shop's `ledger/columns.py` takes it apart. */
import { hexOf, padded, sha256In } from './sha256.ts'
import type { Column, Columns, PulledEntry } from './wire.ts'

/** What stood in each cut. */
const CUT = ',"'
const PREV_BYTES = 32
/** An entry has at most 32 KB. */
const USUAL_BYTES = 4096

function at(column: Column, row: number): string {
  return typeof column === 'string' ? column : (column[row] ?? '')
}

/** The texts in their order: each is the next row of its table, with what stood in each cut. */
function textsOf({ order, tables }: Columns): string[] {
  const rows = tables.map(() => 0)
  return order.map((number) => {
    const row = rows[number] ?? 0
    rows[number] = row + 1
    return (tables[number] ?? []).map((column) => at(column, row)).join(CUT)
  })
}

/** The shop's chain (LG8): sha256 over the 32 bytes of the hash before and the text's bytes. */
class Chain {
  private readonly encoder = new TextEncoder()
  private bytes = new Uint8Array(USUAL_BYTES)
  private words: Int32Array

  constructor(prev: string) {
    this.words = Int32Array.from({ length: 8 }, (_, word) =>
      Number.parseInt(prev.slice(8 * word, 8 * word + 8), 16),
    )
  }

  next(text: string): string {
    // UTF-8 takes at most three bytes for each of JavaScript's letters.
    const most = padded(PREV_BYTES + 3 * text.length)
    if (this.bytes.length < most) this.bytes = new Uint8Array(most)
    const view = new DataView(this.bytes.buffer)
    this.words.forEach((word, number) => {
      view.setInt32(4 * number, word)
    })
    const { written } = this.encoder.encodeInto(text, this.bytes.subarray(PREV_BYTES))
    this.words = sha256In(this.bytes, PREV_BYTES + written)
    return hexOf(this.words)
  }
}

/** The entries; null where the shop's last hash does not follow from them. */
export function entriesOf(columns: Columns): PulledEntry[] | null {
  const chain = new Chain(columns.prev)
  let { prev } = columns
  const entries = textsOf(columns).map((text, row) => {
    const entry = {
      seq: columns.first_seq + row,
      received_at: at(columns.received_at, row),
      prev,
      hash: chain.next(text),
      text,
    }
    prev = entry.hash
    return entry
  })
  return prev === columns.hash ? entries : null
}
