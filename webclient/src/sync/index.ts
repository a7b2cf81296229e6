/** The way to the shop's server and back. */
export {
  type AccessLine,
  type AccessPage,
  accessLines,
  type OpenSession,
  openSessions,
} from './access.ts'
export { fetchBlob } from './blobs.ts'
export {
  type Customer,
  type CustomerFields,
  customers,
  type Erased,
  eraseCustomer,
  keepCustomer,
  sayWhose,
} from './customers.ts'
export { NoContact, ServerFailure } from './failure.ts'
export { dealtWith, dealWithHeld, devices, heldBack } from './held.ts'
export { request, useFetch } from './http.ts'
export {
  type InstrumentFields,
  type KeptInstrument,
  keepInstrument,
  keptInstruments,
  retireInstrument,
} from './instruments.ts'
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
export {
  changeOwnPassword,
  changeOwnPin,
  changePerson,
  givePassword,
  givePin,
  personLeft,
  takeOn,
} from './people.ts'
export { fetchPhoto } from './photos.ts'
export {
  checkPin,
  type GivenPin,
  hasPin,
  type PinAnswer,
  pinLeft,
  sealProof,
  unlock,
  unlockers,
} from './pins.ts'
export { DEVICE_NAME } from './push.ts'
export { beginShop, findSession, session, signIn, signOut } from './session.ts'
export { fetchShop, recallShop, type Shop, shop } from './shop.ts'
export { recallContact, recount, type Strip, strip } from './strip.ts'
export { join, joinDesk, proveDevice, type Trust, trust } from './trust.ts'
export { pinsWanted, proveWanted, type Wanted } from './wanted.ts'
export type { Person, Session } from './wire.ts'
export type { KeptPerson } from './wrapped.ts'
