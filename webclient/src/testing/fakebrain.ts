/** A brain for tests of the glue: remembers what it was told and answers with what it holds. */
import type { Call } from '../brain/host.js'

interface Told {
  name: string
  build: string
  ids: (string | number | null)[][]
}

export class FakeBrain {
  told: Told[] = []
  books = new Map<string, Map<string, number | null>>()
  broken: Error | null = null
  /** What it asks about every reading. */
  slips: object[] = []

  readonly call: Call = (name, text) => {
    if (this.broken) throw this.broken
    const { build, read = [], seqs = [], step } = JSON.parse(text)
    const named: [string, number | null][] = read.map(
      (entry: { body: { value: { text: string } } }, at: number) => [
        entry.body.value.text,
        seqs[at],
      ],
    )
    this.told.push({ name, build, ids: named })
    if (name === 'open') this.books.set(build, new Map(named))
    if (name === 'add') for (const [id, seq] of named) this.books.get(build)?.set(id, seq)
    if (name === 'close') this.books.delete(build)
    return JSON.stringify(this.view(build, step))
  }

  private view(build: string, step?: string): object {
    const held = [...(this.books.get(build)?.keys() ?? [])]
    const { slips } = this
    return { build, id: step, held, slips, limits: { needs_blob: false, defaults_sha256: null } }
  }

  names(): string[] {
    return this.told.map((told) => told.name)
  }
}
