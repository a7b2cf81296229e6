/** The device's own storage: entries, outbox, history, drafts and small facts. */
export { blobsToSend, blobText, keepBlob, markUploaded, sha256 } from './blobs.ts'
export { type BookEntry, entriesOf, heldEntries } from './book.ts'
export { builds, markOf } from './builds.ts'
export { type Change, onChange } from './changes.ts'
export { disconnect, storeNotice } from './connection.ts'
export { cursor, identity } from './device.ts'
export { draft } from './drafts.ts'
export { recall, remember } from './facts.ts'
export { type StoreCode, StoreFailure } from './failure.ts'
export { appendPage, complete, type Pulled, startOver } from './history.ts'
export { newId } from './ids.ts'
export {
  type Counts,
  counts,
  firstUnsent,
  lastOwnHash,
  type Mark,
  markAnswered,
  ownFrom,
} from './outbox.ts'
export { askToPersist, persisted } from './persistence.ts'
export { type NewEntry, record } from './record.ts'
export type { Cursor, HeldReason, OwnRow, Sent, Summary } from './schema.ts'
export { openEarly, summaries } from './summaries.ts'
