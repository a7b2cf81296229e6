/** Cautions that were tapped: remembered for this act, on this engine, for today; never asked again for each cylinder. */
import { signal } from '@preact/signals'
import type { Caution, StepView } from '../brain/types.ts'
import { recall, remember } from '../parts/seam.ts'
import { day } from '../parts/when.ts'

const key = (build: string, step: string) => `cautions/${build}/${step}/${day()}`

export class Tapped {
  /** Null until the phone has looked. */
  readonly ids = signal<string[] | null>(null)

  constructor(
    private readonly build: string,
    private readonly step: string,
  ) {}

  async find(): Promise<void> {
    this.ids.value = (await recall<string[]>(key(this.build, this.step))) ?? []
  }

  tap(id: string): void {
    this.ids.value = [...(this.ids.value ?? []), id]
    void remember(key(this.build, this.step), this.ids.value)
  }
}

/**
 * The caution that wants a tap before this hand acts at a place. At a joint the wrench acts, after all questions: of
 * those only the one that names the place has a caution.
 */
export function cautionBefore(
  { style, cautions }: StepView,
  tapped: Tapped,
  place: string | undefined,
): Caution | null {
  const near = style === 'joint' ? cautions.filter(({ at }) => at === place) : cautions
  return toTap(near, tapped.ids.value ?? [])
}

/** The next line to tap before the hand acts; null when there is none. */
export function toTap(cautions: Caution[], tapped: string[]): Caution | null {
  return cautions.find(({ id, level }) => level === 'tap' && !tapped.includes(id)) ?? null
}
