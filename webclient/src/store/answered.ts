/**
 * How far the shop has answered this device's own entries: one number, since it takes them in their order (LG5).
 *
 * A row up to there that says `no` is on its way (`sent`) until a pull shows it. Marking each row for itself would cost
 * a phone more than all else of a push.
 */
import type { Answered, OwnRow, Sent } from './schema.ts'

const ANSWERED = 'answered'

/** Any transaction that holds the device's table. */
interface DeviceTable {
  objectStore(name: 'device'): { get(key: string): Promise<unknown> }
}

interface WritableDeviceTable {
  objectStore(name: 'device'): {
    get(key: string): Promise<unknown>
    put(value: Answered, key: string): Promise<unknown>
  }
}

/** The last number of them; 0 before the first answer. */
export async function answeredIn(tx: DeviceTable): Promise<number> {
  const known = (await tx.objectStore('device').get(ANSWERED)) as Answered | undefined
  return known?.upto ?? 0
}

export async function putAnswered(tx: WritableDeviceTable, upto: number): Promise<void> {
  await tx.objectStore('device').put({ upto }, ANSWERED)
}

/** From this number on nothing was answered, whatever was thought before. */
export async function takeBackFrom(tx: WritableDeviceTable, number: number): Promise<void> {
  if ((await answeredIn(tx)) >= number) await putAnswered(tx, number - 1)
}

export function sentOf(row: OwnRow, answered: number): Sent {
  return row.sent === 'no' && row.device_no <= answered ? 'sent' : row.sent
}

/** Keys of the index over state and number: own entries of a state, from one number to another. */
export function inState(sent: Sent, from = 0, to = Number.MAX_SAFE_INTEGER): IDBKeyRange {
  return IDBKeyRange.bound([sent, from], [sent, to])
}
