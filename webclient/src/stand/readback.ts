/** What the phone says aloud of a kept reading: where, the figures as they were typed, and the word for them. */
import type { PlaceView } from '../brain/types.ts'
import { keptVerdict } from '../parts/verdictwords.ts'
import type { Kept } from './around.ts'

export function readBack(kept: Kept | null, place: PlaceView | undefined): string {
  if (!kept) return ''
  const verdict = keptVerdict(kept.preview?.verdict)
  return [place?.short, kept.words, verdict].filter(Boolean).join(', ')
}
