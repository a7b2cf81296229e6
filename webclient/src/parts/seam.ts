/**
 * All that the screens take from the rest of the client, in one place: brain, store, sync and the signals
 * that keep builds fresh. Screens import nothing of these but through here.
 */
export {
  applyUpdate,
  before,
  buildState,
  catalogue,
  engines,
  exportUnsent,
  guideView,
  halfEntered,
  importFile,
  instruments,
  people,
  photoHomes,
  photoIntent,
  photoStruck,
  photoUrl,
  photoWanted,
  readBefore,
  shopName,
  startApp,
  stepView,
  storeNotice,
  takePhoto,
  tradeVersion,
  trouble,
  updateReady,
} from '../app/index.ts'
export { type BrainFailure, brain, brainReady } from '../brain/brain.ts'
export {
  type BookEntry,
  draft,
  entriesOf,
  heldEntries,
  type NewEntry,
  newId,
  type PhotoPlace,
  recall,
  record,
  remember,
  sha256,
} from '../store/index.ts'
export {
  DEVICE_NAME,
  dealtWith,
  dealWithHeld,
  devices,
  findSession,
  heldBack,
  session,
  signIn,
  signOut,
  startSync,
  strip,
  syncNow,
} from '../sync/index.ts'
