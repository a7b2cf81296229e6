/** What keeps the views from being fresh: the brain's or the store's words; null when all is well. */
import { signal } from '@preact/signals'

export const trouble = signal<Error | null>(null)
