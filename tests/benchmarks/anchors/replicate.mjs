/**
 * The anchor's client: a PouchDB on leveldb that replicates with the server, batches of 500. Words: the address of the
 * server, a folder, a file of entries (a line each). Each line of input is a JSON list `[what, ...numbers]`, answered by
 * milliseconds: `push` sends all entries to a fresh database of the server, `pull` brings that into a fresh one here.
 */
import { readFileSync } from 'node:fs'
import { createInterface } from 'node:readline'
import PouchDB from 'pouchdb'

const BATCH = 500
const [address, folder, file] = process.argv.slice(2)
const Local = PouchDB.defaults({ prefix: `${folder}/` })

/** The same JSON as the shop's entry; what names it is called as PouchDB wants it. */
function documentOf(text) {
  const { id, ...rest } = JSON.parse(text)
  return { _id: id, ...rest }
}

async function filled() {
  const entries = new Local('entries')
  const documents = readFileSync(file, 'utf8').trimEnd().split('\n').map(documentOf)
  for (let at = 0; at < documents.length; at += BATCH) {
    await entries.bulkDocs(documents.slice(at, at + BATCH))
  }
  return { entries, count: documents.length }
}

async function timed(from, to, count) {
  const before = performance.now()
  const { docs_written } = await PouchDB.replicate(from, to, { batch_size: BATCH })
  const took = performance.now() - before
  if (docs_written !== count) throw new Error(`${docs_written} of ${count} documents came`)
  return took
}

const { entries, count } = await filled()
const ACTS = {
  push: (number) => timed(entries, new PouchDB(`${address}/shop-${number}`), count),
  pull: (from, number) => timed(new PouchDB(`${address}/shop-${from}`), new Local(`copy-${number}`), count),
}

console.log('ready')
for await (const line of createInterface(process.stdin)) {
  const [what, ...words] = JSON.parse(line)
  console.log(JSON.stringify(await ACTS[what](...words)))
}
process.exit()
