/** What a capture asks of the world around it, and what it tells. */
import type { Instrument, PlaceView, Preview, Typed, Why } from '../brain/types.ts'

export interface Question {
  place: string
  typed: Typed
  why: Why
}

export interface ReadingToKeep {
  place: string
  why: Why
  body: object
  draft: string
}

/** What a capture needs of the world around it. */
export interface Around {
  build: string
  step: string
  preview: (question: Question, instrument: Instrument | null) => Promise<Preview>
  /** The same at once; null where the brain cannot answer at once. */
  previewNow: (question: Question, instrument: Instrument | null) => Preview | null
  keep: (reading: ReadingToKeep) => Promise<unknown>
  strike: (place: string, target: string, reason: string) => Promise<unknown>
  saveDraft: (key: string, text: string) => Promise<void>
  loadDraft: (key: string) => Promise<string | null>
  dropDraft: (key: string) => Promise<void>
  unitFor: (place: PlaceView) => Promise<string | null>
  cautions: () => string[]
  /** Values that are bad already, before this reading. */
  bad: () => string[]
  /** A reading is on the disk: feel it, move on. Resolves when the next place stands. */
  kept: (place: string) => Promise<void>
}

export interface Reason {
  why: Why
  corrects: string | null
}

export interface Kept {
  place: string
  words: string
  unit: string | null
  preview: Preview | null
}
