import { openDB } from 'idb'
import { beforeEach, expect, it, vi } from 'vitest'
import { BUILD, freshBrowser, openTab, reading } from '../testing/device.ts'

/** The tables of the first version, as they were made then. */
async function firstVersion(): Promise<void> {
  const db = await openDB('standbook', 1, {
    upgrade(made) {
      const own = made.createObjectStore('own', { keyPath: 'device_no' })
      own.createIndex('sent', 'sent')
      own.createIndex('build_sent', ['build', 'sent'])
      const chunks = made.createObjectStore('chunks', { keyPath: 'piece' })
      chunks.createIndex('builds', 'builds', { multiEntry: true })
      chunks.createIndex('size', 'size')
      made.createObjectStore('device')
      made.createObjectStore('blobs', { keyPath: 'sha256' }).createIndex('uploaded', 'uploaded')
      made.createObjectStore('drafts', { keyPath: 'key' })
      made.createObjectStore('facts')
      made.createObjectStore('builds', { keyPath: 'build' })
      made.createObjectStore('summaries', { keyPath: 'build' })
    },
  })
  const text = JSON.stringify({ ...reading(), device: 'd', device_no: 1, id: 'e' })
  const row = { device_no: 1, id: 'e', build: BUILD, text, sent: 'no', held: null }
  await db.put('own', { ...row, seq: null, hash: null })
  const held = { code: 'differs', message: 'The book has other words.' }
  await db.put('own', { ...row, device_no: 2, id: 'f', sent: 'held', held, seq: null, hash: null })
  const other = { code: 'unknown_person', message: 'Nobody here.' }
  await db.put('own', { ...row, device_no: 3, id: 'g', sent: 'held', held: other, seq: null })
  await db.put('blobs', { sha256: 'h', text: 'shown', uploaded: 1 })
  await db.put('device', { device: 'd' }, 'identity')
  await db.put('drafts', { key: 'k', text: '2.54' })
  db.close()
}

beforeEach(() => {
  vi.unstubAllGlobals()
  freshBrowser()
})

it('LG12: a book of the first version opens with its entries, drafts and identity', async () => {
  await firstVersion()
  const tab = await openTab()
  expect(await tab.entriesOf(BUILD)).toMatchObject([
    { id: 'e', device_no: 1, sent: 'no' },
    { id: 'f', device_no: 2 },
    { id: 'g', device_no: 3, sent: 'held', held: { code: 'unknown_person' } },
  ])
  expect(await tab.draft.load('k')).toBe('2.54')
  expect((await tab.identity()).device).toBe('d')
  expect(await tab.record(reading())).toMatchObject({ device_no: 4 })
})

it('LG4, LG9: what the first version kept back or called uploaded by itself is offered to the shop again', async () => {
  await firstVersion()
  const tab = await openTab()
  expect(await tab.ownFrom(2, 1)).toMatchObject([{ id: 'f', sent: 'no', held: null }])
  expect(await tab.blobsToSend()).toMatchObject([{ sha256: 'h', text: 'shown' }])
})
