/** The device's own storage: entries, outbox, history, drafts and small facts. */
export { blobsToSend, blobText, keepBlob, keepTextToSend, markUploaded, sha256 } from './blobs.ts'
export { type BookEntry, entriesOf, heldEntries } from './book.ts'
export { builds, markOf } from './builds.ts'
export {
  carriedDevices,
  carriedFrom,
  carriedHeld,
  carry,
  endCarried,
  leaveIdentity,
  markCarried,
} from './carried.ts'
export { type Change, onChange } from './changes.ts'
export { disconnect, storeNotice } from './connection.ts'
export { cursor, identity, noteBefore } from './device.ts'
export { type DeviceKey, deviceKey } from './devicekey.ts'
export { draft } from './drafts.ts'
export { recall, remember } from './facts.ts'
export { type StoreCode, StoreFailure } from './failure.ts'
export { appendPage, complete, type Pulled, startOver } from './history.ts'
export { newId } from './ids.ts'
export { writerIn } from './lanes.ts'
export { carryLost } from './lost.ts'
export { offerRest } from './offering.ts'
export {
  type Counts,
  counts,
  firstUnsent,
  firstUnshown,
  lastOwnHash,
  lastOwnNumber,
  type Mark,
  markAnswered,
  markDealt,
  offerFrom,
  ownFrom,
  unsentAfter,
} from './outbox.ts'
export { askToPersist, persisted } from './persistence.ts'
export {
  carryPhoto,
  dropRaw,
  keepRaw,
  markPhoto,
  photo,
  photosMarked,
  photosToSend,
  rawPhotos,
  sha256OfBytes,
} from './photos.ts'
export { pinKey } from './pinkey.ts'
export { putProofs, rowAt, type Which } from './proofs.ts'
export { type NewEntry, record } from './record.ts'
export type {
  Before,
  CarriedRow,
  Cursor,
  EntryProof,
  HeldReason,
  Identity,
  OwnRow,
  PhotoPlace,
  PhotoRow,
  RawPhoto,
  Sent,
  Summary,
} from './schema.ts'
export { openEarly, summaries } from './summaries.ts'
export { sight } from './text.ts'
export { countTry, forgetTries, MOST_TRIES, triesLeft } from './tries.ts'
