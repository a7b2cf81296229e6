/**
 * One client of the shop's API as a phone talks to it (`webclient/src/sync/push.ts`, `pull.ts`): batches of 200 and
 * pages of 1,000, packed both ways, over kept connections. Once the first batch was taken two are on their way, and the
 * next is packed meanwhile; of pages one is asked for while the one before it goes onto the disk.
 * Words: the address of the server, a folder, a file of entries (a line each). Each line of input is a JSON list
 * `[what, ...words]`, answered by a line of JSON:
 * `push` sends all entries as those of a device that is new to the shop, with at `most` so many batches on their way (two
 * where it is not said), and gives milliseconds, `all` from the first
 * batch's sending to the last one's answer, and `each` of every batch from its sending to its answer;
 * `pull` brings what is in the book after a number, page by page onto the disk, and gives milliseconds of all.
 */
import { hash as digest, randomBytes } from 'node:crypto'
import { closeSync, fdatasyncSync, openSync, readFileSync, writeSync } from 'node:fs'
import { Agent, request } from 'node:http'
import { createInterface } from 'node:readline'
import { promisify } from 'node:util'
import { gunzip, gzip } from 'node:zlib'

const BATCH = 200
const PAGE = 1000
const [address, folder, file] = process.argv.slice(2)
const texts = readFileSync(file, 'utf8').trimEnd().split('\n')
const agent = new Agent({ keepAlive: true, maxSockets: 2 })
const [packed, unpacked] = [promisify(gzip), promisify(gunzip)]

function newId() {
  const bytes = randomBytes(16)
  bytes.writeUIntBE(Date.now(), 0, 6)
  bytes[6] = 0x70 | (bytes[6] & 0x0f)
  bytes[8] = 0x80 | (bytes[8] & 0x3f)
  return bytes.toString('hex').replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-')
}

/** The answer to one request, as it came and read. */
function ask(method, path, body) {
  const packing = body ? { 'content-type': 'application/json', 'content-encoding': 'gzip', 'content-length': body.length } : {}
  const headers = { accept: 'application/json', 'accept-encoding': 'gzip', 'x-standbook': '1', ...packing }
  return new Promise((resolve, reject) => {
    const asked = request(`${address}/api/v1${path}`, { method, headers, agent }, async (answer) => {
      const pieces = await answer.toArray()
      const plain = answer.headers['content-encoding'] === 'gzip' ? await unpacked(Buffer.concat(pieces)) : Buffer.concat(pieces)
      if (answer.statusCode === 200) resolve({ plain, ...JSON.parse(plain) })
      else reject(new Error(`${answer.statusCode}: ${plain}`))
    })
    asked.on('error', reject)
    asked.end(body)
  })
}

/** What was asked leaves this process before it turns to work of its own. */
const underWay = () => new Promise((resolve) => setTimeout(resolve, 1))

function entriesOf(device) {
  return texts.map((text, at) => JSON.stringify({ ...JSON.parse(text), id: newId(), device, device_no: at + 1 }))
}

function batch(device, from, entries) {
  const about = { device, device_name: '', app_version: 'benchmark', made: from + entries.length - 1, replaces: null }
  const body = JSON.stringify({ ...about, now: new Date().toISOString(), from_no: from, entries })
  return packed(body)
}

/** Milliseconds from its sending to its answer. `earlier`: the batch before it; where this one came past it, it goes again. */
async function pushBatch(ready, count, earlier) {
  const before = performance.now()
  const body = await ready
  let { answers } = await ask('POST', '/sync/push', body)
  if (answers[0].code === 'number_gap' && (await earlier)) answers = (await ask('POST', '/sync/push', body)).answers
  const strange = answers.find(({ result }) => result !== 'stored')
  if (strange || answers.length !== count) throw new Error(JSON.stringify(strange ?? answers.length))
  return performance.now() - before
}

async function push(most = 2) {
  const device = newId()
  const entries = entriesOf(device)
  const each = []
  const readyAt = (at) => (at < entries.length ? batch(device, at + 1, entries.slice(at, at + BATCH)) : null)
  const before = performance.now()
  let ready = readyAt(0)
  let earlier = null
  for (let at = 0; at < entries.length; at += BATCH) {
    const sent = pushBatch(ready, Math.min(BATCH, entries.length - at), earlier)
    await underWay()
    ready = readyAt(at + BATCH)
    each.push(sent)
    await (at === 0 || most === 1 ? sent : earlier)
    earlier = sent
  }
  await earlier
  return { all: performance.now() - before, each: await Promise.all(each) }
}

const valueAt = (column, row) => (typeof column === 'string' ? column : column[row])

/** The entries of a page that came as columns, every hash made from the one before it and the entry's very bytes. */
function putTogether({ first_seq, prev, received_at, order, tables }) {
  const rows = tables.map(() => 0)
  let before = prev
  return order.map((table, at) => {
    const row = rows[table]++
    const text = tables[table].map((column) => valueAt(column, row)).join(',"')
    const hash = digest('sha256', Buffer.concat([Buffer.from(before, 'hex'), Buffer.from(text)]))
    const entry = { seq: first_seq + at, received_at: valueAt(received_at, at), prev: before, hash, text }
    before = hash
    return entry
  })
}

/** The page follows the one before it, and the shop's last hash follows from all its texts. Gives its last entry. */
function assertWhole(entries, columns, { seq, hash }) {
  const last = entries.at(-1)
  const follows = columns.first_seq === seq + 1 && (hash === null || columns.prev === hash)
  if (!follows || last.hash !== columns.hash) throw new Error(`broken between ${seq} and ${last.seq}`)
  return last
}

async function pull(after, epoch, most) {
  const out = openSync(`${folder}/pulled`, 'w')
  const device = newId()
  let [last, more] = [{ seq: after, hash: null }, true]
  const pageAfter = (seq) => ask('GET', `/sync/pull?after=${seq}&limit=${PAGE}&device=${device}&epoch=${epoch}&form=columns`)
  const before = performance.now()
  let coming = pageAfter(after)
  while (more && last.seq < after + most) {
    const page = await coming
    const end = page.columns.first_seq + page.columns.order.length - 1
    if (page.more && end < after + most) coming = pageAfter(end)
    await underWay()
    const entries = putTogether(page.columns)
    last = assertWhole(entries, page.columns, last)
    writeSync(out, JSON.stringify(entries))
    fdatasyncSync(out)
    more = page.more
  }
  closeSync(out)
  if (last.seq !== after + most) throw new Error(`${last.seq - after} of ${most} entries came`)
  return performance.now() - before
}

const book = async () => {
  const { last_seq, epoch } = await ask('GET', '/sync/pull?limit=1')
  return [last_seq, epoch]
}
const ACTS = { push, pull, book }

console.log('ready')
for await (const line of createInterface(process.stdin)) {
  const [what, ...words] = JSON.parse(line)
  console.log(JSON.stringify(await ACTS[what](...words)))
}
process.exit()
