/** What the shop knows of a phone or browser, in words. */

/** As the server tells it. `made` null: it has never said how many it gave out. */
export interface Device {
  id: string
  name: string
  count: number
  made: number | null
  unsent: number
  lost: number
  last_contact: string
  replaced_by: string | null
  /** Null: it wrote into the book and has never joined; missing: a server that knows nothing of joining. */
  joined_at?: string | null
  joined_by?: string | null
  cut_off_at?: string | null
  cut_off_by?: string | null
}

export interface Says {
  sign: 'WARN' | 'unsent' | 'safe' | 'away'
  words: string
}

function entries(count: number): string {
  return count === 1 ? '1 entry' : `${count} entries`
}

/** "numbers 411 to 412": those that never came. */
function numbers({ count, lost }: Device): string {
  const [first, last] = [count + 1, count + lost]
  return first === last ? `number ${last}` : `numbers ${first} to ${last}`
}

export function deviceName({ name }: Pick<Device, 'name'>): string {
  return name || 'A device without a name'
}

/** Whether the shop has all of it, and what to do where it has not. */
export function deviceSays(device: Device): Says {
  const { count, made, unsent, lost, replaced_by } = device
  if (lost > 0)
    return {
      sign: 'WARN',
      words: `${entries(lost)} (${numbers(device)}) never came: its storage was cleared, or it was copied. Whoever worked with it enters them again, unless a file was written of them.`,
    }
  if (unsent > 0)
    return {
      sign: 'unsent',
      words: `${entries(unsent)} of ${made} not here yet at its last contact. Bring it into reach, or take in its file.`,
    }
  if (replaced_by !== null)
    return { sign: 'safe', words: `All ${count} here; it is in use no more.` }
  if (made === null) return { sign: 'away', words: `${entries(count)} here.` }
  return { sign: 'safe', words: `All ${count} here.` }
}

function weight(device: Device): number {
  if (device.lost > 0) return 0
  if (device.unsent > 0) return 1
  return device.replaced_by === null && !isCutOff(device) ? 2 : 3
}

/** The device that has joined since only those `before` had; null while there is none. */
export function joinedSince(devices: Device[], before: string[]): Device | null {
  return devices.find(({ id, joined_at }) => joined_at && !before.includes(id)) ?? null
}

export function isCutOff(device: Device): boolean {
  return Boolean(device.cut_off_at)
}

/** A lead may cut off what has joined and is let in still. */
export function mayCutOff(device: Device): boolean {
  return Boolean(device.joined_at) && !isCutOff(device)
}

/** What is lost first, then what waits, then those in use, each with the last heard of first. */
export function worstDevices(devices: Device[]): Device[] {
  const later = (a: Device, b: Device) => (a.last_contact < b.last_contact ? 1 : -1)
  return [...devices].sort((a, b) => weight(a) - weight(b) || later(a, b))
}

/** The device that goes on for another one; null where that is not known. */
export function goesOnAs(device: Device, devices: Device[]): string | null {
  const next = devices.find(({ id }) => id === device.replaced_by)
  return next ? deviceName(next) : null
}
