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
  expect(await tab.entriesOf(BUILD)).toMatchObject([{ id: 'e', device_no: 1, sent: 'no' }])
  expect(await tab.draft.load('k')).toBe('2.54')
  expect((await tab.identity()).device).toBe('d')
  expect(await tab.record(reading())).toMatchObject({ device_no: 2 })
})
