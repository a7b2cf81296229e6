/** Entries for which the shop wants their maker's PIN: they wait on this device, and what stands behind them too. */
import { signal } from '@preact/signals'
import {
  carriedFrom,
  type EntryProof,
  type OwnRow,
  ownFrom,
  putProofs,
  rowAt,
  sight,
  type Which,
} from '../store/index.ts'
import { type GivenPin, sealProof } from './pins.ts'
import { fetchShop } from './shop.ts'

/** What the shop said of the entry at which it stopped. */
export interface Refusal {
  code: string
  message: string
  device_no: number
}

export interface Wanted extends Which {
  person: string
  text: string
  /** The shop's words. */
  message: string
  /** False: the person has no PIN yet, a lead has to give one first. */
  can: boolean
}

export const pinsWanted = signal<Wanted[]>([])

const CODES = ['pin_needed', 'pin_missing']
/** The shop asks no PIN for these. */
const UNPROVEN = ['reading', 'photo', 'hold_opened']
const MOST = 1000

/** Notes at which entries this talk stopped; `device` null: of this device. */
export async function noteWanted(
  stops: { device: string | null; refused: Refusal }[],
): Promise<void> {
  const found: Wanted[] = []
  // The key that PINs are sealed to, or the PINs, may be other ones since: what is given next has to fit them.
  if (stops.some(({ refused }) => CODES.includes(refused.code))) await fetchShop()
  for (const { device, refused } of stops) {
    if (!CODES.includes(refused.code)) continue
    const which = { device, device_no: refused.device_no }
    const row = await rowAt(which)
    const person = row && sight(row.text).person
    if (!person) continue
    const can = refused.code === 'pin_needed'
    found.push({ ...which, person, text: row.text, message: refused.message, can })
  }
  if (found.length || pinsWanted.value.length) pinsWanted.value = found
}

async function rowsFrom({ device, device_no }: Which): Promise<OwnRow[]> {
  return device === null ? ownFrom(device_no, MOST) : carriedFrom(device, device_no, MOST)
}

function wantsProof({ sent, text }: OwnRow, person: string): boolean {
  const said = sight(text)
  return sent === 'no' && said.person === person && !UNPROVEN.includes(said.kind ?? '')
}

/** Gives the PIN for an entry that waits, and for what else the same person has waiting behind it. */
export async function proveWanted(wanted: Wanted, given: GivenPin): Promise<void> {
  const rows = (await rowsFrom(wanted)).filter((row) => wantsProof(row, given.person))
  const proofs: { which: Which; proof: EntryProof }[] = []
  for (const { id, device_no } of rows) {
    const which = { device: wanted.device, device_no }
    proofs.push({ which, proof: await sealProof(given, id) })
  }
  await putProofs(proofs)
}
