/**
 * Two entries of one number: an identity was on two phones, and each wrote on. Both are carried, so the later one lies
 * under a name of its own beside the device's, and is offered to the shop as the device's (LG4).
 */
import type { CarriedRow } from './schema.ts'

/** No device's own name has a blank in it. */
const TWIN = ' twin '

/** Where the entry of that id lies when its device's number is taken. */
function twinLane(device: string, id: string): string {
  return `${device}${TWIN}${id}`
}

/** The device that wrote what lies in a lane. */
export function writerIn(lane: string): string {
  return lane.split(TWIN, 1)[0] ?? lane
}

type Key = [lane: string, device_no: number]

/** Any transaction that holds the carried ones. */
export interface Carrying {
  objectStore(name: 'carried'): {
    get(key: Key): Promise<CarriedRow | undefined>
    put(row: CarriedRow): Promise<unknown>
    delete(key: Key): Promise<void>
  }
}

/** Where the entry lies, or has its place: with its device, or beside an entry of the same number. */
async function laneOf(tx: Carrying, row: CarriedRow): Promise<string> {
  const first = await tx.objectStore('carried').get([row.device, row.device_no])
  return !first || first.text === row.text ? row.device : twinLane(row.device, row.id)
}

/** Puts an entry beside the others; what lies there already stays, and may gain a proof. True where it is new. */
export async function keep(tx: Carrying, row: CarriedRow): Promise<boolean> {
  const carried = tx.objectStore('carried')
  const device = await laneOf(tx, row)
  const known = await carried.get([device, row.device_no])
  if (!known) await carried.put({ ...row, device })
  else if (row.proof) await carried.put({ ...known, proof: row.proof })
  return !known
}

/** The entry is in the book: it is carried no more. */
export async function letGo(
  tx: Carrying,
  said: Pick<CarriedRow, 'device' | 'device_no' | 'id' | 'text'>,
): Promise<void> {
  const { device, device_no, id, text } = said
  for (const lane of [device, twinLane(device, id)]) {
    const row = await tx.objectStore('carried').get([lane, device_no])
    if (row?.text === text) await tx.objectStore('carried').delete([lane, device_no])
  }
}
