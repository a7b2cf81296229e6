/** What this browser was before, as far as a person has not read it: its storage was cleared, or it was copied. */
import { signal } from '@preact/signals'
import { type Before, identity, noteBefore, onChange } from '../store/index.ts'

/** Null: nothing to say. */
export const before = signal<Before | null>(null)

/** Looks again; to be called at the start and after each contact. */
export async function lookBefore(): Promise<void> {
  const known = (await identity()).before
  before.value = known && !known.told ? known : null
}

/** A person has read it. */
export async function readBefore(): Promise<void> {
  await noteBefore({ told: true })
  before.value = null
}

export function keepBefore(): void {
  onChange((change) => {
    if (change.all) void lookBefore().catch(() => undefined)
  })
}
