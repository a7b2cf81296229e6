/**
 * Entries of other devices that this one offers to the shop. They lie beside the outbox, and leave when a pull has
 * shown the server's own record of them (LG7).
 */
import { answeredIn, putAnswered, sentOf } from './answered.ts'
import { touch } from './builds.ts'
import { announce } from './changes.ts'
import { read, type Writing, write } from './connection.ts'
import { identityIn, putIdentity } from './device.ts'
import { type Carrying, keep } from './lanes.ts'
import type { Mark } from './outbox.ts'
import { type Before, type CarriedRow, CHUNK, type OwnRow } from './schema.ts'

/** Devices for which something is to be sent, with the number of the first such entry. */
export function carriedDevices(): Promise<{ device: string; from: number }[]> {
  return read(['carried'], async (tx) => {
    const found: { device: string; from: number }[] = []
    const index = tx.objectStore('carried').index('device_sent')
    let at = await index.openKeyCursor(IDBKeyRange.lowerBound(['', 'no']), 'nextunique')
    for (; at; at = await at.continue()) {
      const [device, sent] = at.key
      if (sent === 'no') found.push({ device, from: at.primaryKey[1] })
    }
    return found
  })
}

/** Carried entries of a device from a number on, at most `limit`, in their order and without a gap. */
export async function carriedFrom(
  device: string,
  from: number,
  limit: number,
): Promise<CarriedRow[]> {
  const range = IDBKeyRange.bound([device, from], [device, Number.MAX_SAFE_INTEGER])
  const rows = await read(['carried'], (tx) => tx.objectStore('carried').getAll(range, limit))
  const gap = rows.findIndex((row, at) => row.device_no !== from + at)
  return gap === -1 ? rows : rows.slice(0, gap)
}

type Marking = Writing<'carried' | 'builds' | 'chunks'>

/** True where the pulled history has the entry: it was in the book before it was offered. */
async function isSafe(tx: Marking, row: CarriedRow, seq: number | null): Promise<boolean> {
  if (seq === null) return false
  const chunk = await tx.objectStore('chunks').get(Math.floor((seq - 1) / CHUNK))
  return chunk?.entries.some((entry) => entry.seq === seq && entry.text === row.text) ?? false
}

async function markRow(tx: Marking, device: string, mark: Mark): Promise<string | null> {
  const row = await tx.objectStore('carried').get([device, mark.device_no])
  if (!row || row.sent === mark.sent) return null
  if (await isSafe(tx, row, mark.seq))
    await tx.objectStore('carried').delete([device, row.device_no])
  else await tx.objectStore('carried').put({ ...row, sent: mark.sent, held: mark.held })
  return row.build
}

/** Notes the server's answers to carried entries. Returns how many of them told something new. */
export async function markCarried(device: string, marks: Mark[]): Promise<number> {
  const moved = await write(['carried', 'builds', 'chunks'], async (tx) => {
    const found = await Promise.all(marks.map((mark) => markRow(tx, device, mark)))
    const builds = found.filter((build) => build !== null)
    await touch(tx, new Set(builds))
    return builds
  })
  if (moved.length) announce({ builds: [...new Set(moved)] })
  return moved.length
}

/** Other devices of which the shop keeps an entry back that this one brought, with the numbers. */
export async function carriedHeld(): Promise<Map<string, number[]>> {
  const keys = await read(['carried'], (tx) =>
    tx.objectStore('carried').index('sent').getAllKeys('held'),
  )
  const found = new Map<string, number[]>()
  for (const [device, number] of keys) found.set(device, [...(found.get(device) ?? []), number])
  return found
}

/** People have dealt with entries that this device brought for another one: they leave it, the shop has their bytes. */
export async function endCarried(device: string, numbers: number[]): Promise<void> {
  const builds = await write(['carried', 'builds'], async (tx) => {
    const found: string[] = []
    for (const number of numbers) {
      const row = await tx.objectStore('carried').get([device, number])
      if (row?.sent !== 'held') continue
      await tx.objectStore('carried').delete([device, number])
      found.push(row.build)
    }
    await touch(tx, new Set(found))
    return found
  })
  if (builds.length) announce({ builds: [...new Set(builds)] })
}

/** Takes entries in that another device wrote; those that are here already stay, and may gain a proof. */
export async function carry(rows: CarriedRow[]): Promise<number> {
  const builds = await write(['carried', 'builds'], async (tx) => {
    const fresh: string[] = []
    for (const row of rows) {
      if (await keep(tx, row)) fresh.push(row.build)
    }
    await touch(tx, new Set(fresh))
    return fresh
  })
  if (builds.length) announce({ builds: [...new Set(builds)] })
  return builds.length
}

/** Any transaction that holds both tables. */
interface OwnAndCarried {
  objectStore(name: 'own'): {
    delete(key: number): Promise<void>
    openCursor(query: null, direction: 'prev'): Promise<{ value: OwnRow } | null>
  }
  objectStore(name: 'carried'): ReturnType<Carrying['objectStore']>
}

/** What is not yet safe of an own row goes on under the name that it was written with. */
export async function carryOwn(tx: OwnAndCarried, row: OwnRow, device: string): Promise<void> {
  if (row.sent !== 'safe') await keep(tx, { ...row, device: row.device ?? device })
  await tx.objectStore('own').delete(row.device_no)
}

/**
 * This browser's identity is on another phone too, or its storage was set back: it goes on under a new one, with a
 * chain from 1, and offers what is unsent under the old one (LG4, LG5).
 */
export async function leaveIdentity(): Promise<void> {
  await write(['device', 'own', 'carried', 'builds'], async (tx) => {
    const { device } = await identityIn(tx)
    const rows = await tx.objectStore('own').getAll()
    const made = rows.at(-1)?.device_no ?? 0
    const before: Before = { device, made, why: 'copied', at_shop: null, told: false }
    await putIdentity(tx, before)
    const answered = await answeredIn(tx)
    for (const row of rows) await carryOwn(tx, { ...row, sent: sentOf(row, answered) }, device)
    await putAnswered(tx, 0)
    await touch(tx, new Set(rows.map((row) => row.build)))
  })
  announce({ builds: [], all: true })
}

/**
 * Rows that another tab wrote under the old identity while this one left it: they go the way of the others. A chain
 * never steps over them, since they would be a gap in it.
 */
export async function sweepStrays(tx: OwnAndCarried, device: string): Promise<void> {
  let last = await tx.objectStore('own').openCursor(null, 'prev')
  while (last && (last.value.device ?? device) !== device) {
    await carryOwn(tx, last.value, device)
    last = await tx.objectStore('own').openCursor(null, 'prev')
  }
}
