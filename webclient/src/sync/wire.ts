/**
 * What goes over the wire, as the server's OpenAPI document has it; `tests/client/test_wire.py` compares the two.
 */

/** What this browser was before, and the highest number that it had given out as that. */
export interface Replaced {
  device: string
  made: number
}

/** That `person` gave the own PIN for the entry with this number; `sealed` to the shop's key. */
export interface Proof {
  device_no: number
  person: string
  sealed: string
}

export interface Push {
  device: string
  device_name: string
  app_version: string
  /** The device's clock: a claim that orders nothing (LG10). */
  now: string
  /** Entry i has the device number `from_no + i`. */
  from_no: number
  entries: string[]
  /** The highest number that this device has given out. */
  made?: number | null
  replaces?: Replaced | null
  /** Who hands these entries in for the device that made them. */
  carrier?: string | null
  proofs?: Proof[]
  /** By the sender's key over the whole batch; see `signing.ts`. */
  signature?: string
}

export type Result = 'stored' | 'already' | 'held' | 'conflict' | 'refused'

export interface Answer {
  device_no: number
  id: string | null
  result: Result
  seq: number | null
  code: string | null
  message: string | null
}

/** A held-back entry of this device that somebody has dealt with (LG6). */
export interface DealtWith {
  device_no: number
  person: string
  reason: string
  at: string
}

/** The server's record of this device (LG7). */
export interface Mine {
  count: number
  next_no: number
  head: string | null
  dealt?: DealtWith[]
}

export interface Pushed {
  answers: Answer[]
  next_no: number
  epoch: string
  last_seq: number
  server_now: string
  mine: Mine
}

export interface PulledEntry {
  seq: number
  received_at: string
  prev: string
  hash: string
  text: string
}

/** What stands at one place of many texts; one text where it is the same in all of them. */
export type Column = string | string[]

/** A page of entries taken apart; see `columns.ts`. */
export interface Columns {
  first_seq: number
  prev: string
  hash: string
  received_at: Column
  order: number[]
  tables: (string | string[])[][]
}

export interface Pulled {
  epoch: string
  /** The cursor is not of this book: what follows starts from zero (LG9). */
  reset: boolean
  entries: PulledEntry[]
  last_seq: number
  more: boolean
  server_now: string
  /** Another one after every change of a PIN; older servers do not say. */
  pins?: string
  mine?: Mine | null
  /** Instead of `entries`; older servers send those. */
  columns?: Columns | null
}

export interface Person {
  id: string
  name: string
  role: string
}

/** PBKDF2-HMAC-SHA256; salt and hash as base64. */
export interface Pin {
  number: number
  salt: string
  hash: string
  iterations: number
}

export interface ShopPerson {
  id: string
  name: string
  role: string
  /** What a change of name or role is made on; of a shop that is older than that, nothing. */
  version?: string
  pin: Pin | null
}

/** The shop's public key (RSA, SPKI as base64). */
export interface Seal {
  key: string
  id: string
}

export interface Session {
  person: Person | null
}

export interface ErrorBody {
  error: { code: string; message: string; details: Record<string, unknown> }
}
