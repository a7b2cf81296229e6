/** The glue between the screens and what lies under them. */
export { storeNotice } from '../store/index.ts'
export {
  applyUpdate,
  halfEntered,
  registerWorker,
  updateReady,
  whyNotKept,
  worksOffline,
} from '../sw/update.ts'
export type { WhyNotKept } from '../sw/whynot.ts'
export { before, readBefore } from './before.ts'
export { catalogue, tradeVersion } from './catalogue.ts'
export { exportUnsent, HandoverFailure, importFile } from './handover.ts'
export {
  PhotoFailure,
  photoHomes,
  photoIntent,
  photoStruck,
  photoUrl,
  photoWanted,
  takePhoto,
} from './photos.ts'
export { instruments, people, shopName } from './shop.ts'
export { startApp } from './start.ts'
export { buildState, engines } from './states.ts'
export { trouble } from './trouble.ts'
export {
  goesView,
  guideView,
  holdView,
  limitsView,
  stepView,
  tightenedView,
} from './views.ts'
