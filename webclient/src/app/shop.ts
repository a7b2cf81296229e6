/** The shop's people and instruments, as last heard from the server. */
import { computed } from '@preact/signals'
import type { Instrument } from '../brain/types.ts'
import { shop } from '../sync/index.ts'

export const people = computed(() => shop.value?.people ?? [])
export const instruments = computed(() => (shop.value?.instruments ?? []) as Instrument[])
/** The shop's name; null before the first contact. */
export const shopName = computed(() => shop.value?.shop.name ?? null)
