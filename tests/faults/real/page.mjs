/**
 * A phone's page: the client's own store and sync, and somebody at it who records, types and talks by chance.
 *
 * It tells what a screen would have shown, and only when it would have: that an entry is saved, that a digit is kept.
 * Whoever listens is outside of the shop's network.
 */
import * as store from '../../../webclient/src/store/index.ts'
import * as sync from '../../../webclient/src/sync/index.ts'
import { talkOnce } from '../../../webclient/src/sync/round.ts'
import { chanceOf, clock, pause } from './chance.mjs'

const PLACES = ['MJ1.F.0', 'MJ1.R.0', 'MJ2.F.90', 'MJ3.R.0', 'MJ4.F.0', 'MJ5.R.90']
const BUILDS = ['01936b00-0000-7000-8000-0000000000b1', '01936b00-0000-7000-8000-0000000000b2']
const KEYS = ['b/s/p1', 'b/s/p2', 'b/s/p3']

const given = new URLSearchParams(location.search)
const life = given.get('life')
const chance = chanceOf(Number(given.get('seed')))
const pace = Number(given.get('pace') ?? 10)
let made = 0
let resting = false
const digits = new Map()
let acts = 0

function tell(news) {
  return fetch('/told', { method: 'POST', body: JSON.stringify({ life, ...news }) })
}

function entry(mark, kind, body, more = {}) {
  const about = { build: chance.of(BUILDS), kind, step: 'journals', place: null, why: null, person: 'bo-b' }
  return { ...about, body: { v: 1, ...body }, trade_version: mark, ...more }
}

function reading(mark, note, more = {}) {
  const value = { text: `2.${4470 + chance.below(20)}`, unit: 'in' }
  const body = { value, not_measured: null, instrument: null, note }
  return entry(mark, 'reading', body, { place: chance.of(PLACES), why: 'first', ...more })
}

async function said(what) {
  const { device_no, text } = await store.record(what)
  await tell({ what: 'saved', mark: what.trade_version, device_no, text, photo: what.photo?.row.sha256 })
}

function mark() {
  made += 1
  return `${life}-${made}`
}

/** Half a number is typed; now and then it becomes an entry, and then the half is gone. */
async function type() {
  const key = chance.of(KEYS)
  const digit = Math.max(digits.get(key) ?? 0, Number(given.get('digit') ?? 0)) + 1
  digits.set(key, digit)
  await store.draft.save(key, String(digit))
  await tell({ what: 'typed', key, digit })
  if (chance.below(2)) return
  await said(reading(mark(), `${key} ${digit}`, { draft: key }))
}

async function sign() {
  const text = JSON.stringify({ shown: mark() })
  const sha256 = await store.sha256(text)
  await said(entry(mark(), 'step_signed', { shown: sha256, uses: [], note: '' }, { blobs: [{ sha256, text }] }))
}

async function picture() {
  const canvas = new OffscreenCanvas(32, 24)
  const paper = canvas.getContext('2d')
  paper.fillStyle = `rgb(${chance.below(256)}, ${chance.below(256)}, ${chance.below(256)})`
  paper.fillRect(0, 0, 32, 24)
  return (await canvas.convertToBlob({ type: 'image/jpeg' })).arrayBuffer()
}

async function takePhoto() {
  const bytes = await picture()
  const sha256 = await store.sha256OfBytes(bytes)
  const type = 'image/jpeg'
  const where = { build: BUILDS[0], step: null, place: null, caption: '', person: 'bo-b' }
  const raw = await store.keepRaw(bytes, type, where)
  const photo = { row: { sha256, bytes, type, sent: 0 }, raw }
  const body = { photo: { sha256, size: bytes.byteLength, type, width: 32, height: 24 }, caption: '' }
  await said(entry(mark(), 'photo', body, { step: null, photo }))
}

const ACTS = [
  [() => said(reading(mark(), '')), 50],
  [() => Promise.all([said(reading(mark(), '')), said(reading(mark(), ''))]), 10],
  [() => said({ ...reading(mark(), ''), person: 'nobody-here' }), 3],
  [type, 25],
  [sign, 6],
  [takePhoto, 4],
  [() => clock.move(chance.of([-400, -30, -1, 0, 0, 1, 3, 365])), 2],
]

async function act() {
  acts += 1
  try {
    await chance.weighted(ACTS)()
  } catch (error) {
    // A full phone refuses by name, and then nothing of it is stored.
    await tell({ what: 'refused', why: `${error.name}: ${error.code ?? error.message}`, stack: error.stack })
  }
}

async function live() {
  while (!resting) {
    await act()
    await pause(chance.below(pace))
  }
}

async function talk() {
  while (!resting) {
    await talkOnce('real')
    await pause(chance.below(pace * 4))
  }
}

/** What is on the disk, from a number on: the page of a phone that has come back to life. */
async function found(from) {
  const rows = await store.ownFrom(from, 1_000_000)
  const drafts = await Promise.all(KEYS.map((key) => store.draft.load(key)))
  const { device, before } = await store.identity()
  return {
    device,
    before: before ?? null,
    rows: rows.map(({ device_no, text }) => ({ device_no, text })),
    drafts: Object.fromEntries(KEYS.map((key, at) => [key, drafts[at] === null ? null : Number(drafts[at])])),
  }
}

async function book() {
  const builds = await store.builds()
  const books = await Promise.all(builds.map((build) => store.entriesOf(build)))
  const entries = books.flat()
  return {
    pulled: entries.filter(({ seq }) => seq !== null).map(({ seq, text }) => [seq, text]),
    beside: entries.filter(({ seq }) => seq === null).map(({ text, sent, held }) => [text, sent, held?.code ?? null]),
  }
}

/** Digits only ever grow, so that it can be told which of them came last. */
function goOnFrom({ drafts, rows }) {
  for (const [key, digit] of Object.entries(drafts)) if (digit) digits.set(key, digit)
  for (const { text } of rows) {
    const [, key, digit] = /"note":"(b\/s\/p\d) (\d+)"/.exec(text) ?? []
    if (key) digits.set(key, Math.max(digits.get(key) ?? 0, Number(digit)))
  }
}

let running = null

globalThis.phone = {
  live: () => {
    resting = false
    running = Promise.all([live(), talk()])
  },
  /** Comes to rest after what is under way. */
  async rest() {
    resting = true
    await running
    return acts
  },
  talk: () => talkOnce('real'),
  found,
  book,
  counts: () => store.counts(),
  complete: () => store.complete(),
  strip: () => sync.strip.value,
}

found(Number(given.get('from') ?? 1)).then(
  async (state) => {
    goOnFrom(state)
    await tell({ what: 'alive', ...state })
    if (given.get('live')) globalThis.phone.live()
  },
  (error) => tell({ what: 'broken', why: String(error?.stack ?? error) }),
)
