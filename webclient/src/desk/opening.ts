/** Opening a build: the entries that it takes, in order, and writing them so that a second try goes on where the first stopped. */
import type { EngineField } from '../brain/types.ts'
import type { Fact } from '../parts/write.ts'
import type { Card } from './cards.ts'
import { type RawForm, valuesOf } from './engineform.ts'

export interface Opening {
  job: string
  title: string
  note: string
  form: RawForm
  cards: Card[]
}

export const EMPTY_OPENING: Opening = { job: '', title: '', note: '', form: {}, cards: [] }

function fact(build: string, kind: string, body: object): Fact {
  return { build, kind, step: null, place: null, why: null, body: { v: 1, ...body } }
}

/** Build opened, limits frozen, then each value of the specification. */
export function openingFacts(
  build: string,
  opening: Opening,
  defaults: string,
  fields: EngineField[],
): Fact[] {
  const { job, title, note, form, cards } = opening
  const values = Object.entries(valuesOf(fields, form))
  return [
    fact(build, 'build_opened', { job: job.trim(), title: title.trim(), note: note.trim() }),
    fact(build, 'limits_frozen', { defaults, cards }),
    ...values.map(([field, value]) =>
      fact(build, 'engine_value', { field, value, basis: 'nominal' }),
    ),
  ]
}

export function engineFact(build: string, field: string, value: unknown, basis: string): Fact {
  return fact(build, 'engine_value', { field, value, basis })
}

export function limitsFact(build: string, defaults: string, cards: Card[], reason: string): Fact {
  return fact(build, 'limits_frozen', { defaults, cards, reason })
}

/** Writes facts one by one; after a failure the next call goes on with the one that failed. */
export class Writing {
  private done = 0

  constructor(
    private readonly facts: Fact[],
    private readonly enter: (fact: Fact) => Promise<unknown>,
  ) {}

  async goOn(): Promise<void> {
    for (let fact = this.facts[this.done]; fact; fact = this.facts[this.done]) {
      await this.enter(fact)
      this.done += 1
    }
  }
}
