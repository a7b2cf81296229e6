/** The way to the shop's server and back. */
export { fetchBlob } from './blobs.ts'
export { NoContact, ServerFailure } from './failure.ts'
export { dealtWith, dealWithHeld, devices, heldBack } from './held.ts'
export { request, useFetch } from './http.ts'
export {
  cutOff,
  findJoining,
  findLabel,
  type JoinCode,
  type Joining,
  type Label,
  makeJoinCode,
} from './joining.ts'
export { type Mode, startSync, syncNow } from './loop.ts'
export { fetchPhoto } from './photos.ts'
export { DEVICE_NAME } from './push.ts'
export { findSession, session, signIn, signOut } from './session.ts'
export { fetchShop, recallShop, type Shop, shop } from './shop.ts'
export { recallContact, recount, type Strip, strip } from './strip.ts'
export { join, type Trust, trust } from './trust.ts'
export type { Person, Session } from './wire.ts'
