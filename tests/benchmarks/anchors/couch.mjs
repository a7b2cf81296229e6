/**
 * The anchor's server: PouchDB behind its own HTTP interface on loopback, on leveldb, with the routes that a
 * replication needs and packed answers. It also hands out a bare page with PouchDB for the browser.
 * Words: the folder of its data. Prints its port when it is open.
 */
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import express from 'express'
import overHttp from 'express-pouchdb'
import PouchDB from 'pouchdb'

const folder = process.argv[2]
const scripts = join(dirname(createRequire(import.meta.url).resolve('pouchdb/package.json')), 'dist')
const PAGE = `<!doctype html><title>Anchor</title>
<script src="/scripts/pouchdb.min.js"></script><script src="/scripts/pouchdb.indexeddb.min.js"></script>`

const app = express()
app.get('/page', (_request, response) => response.type('html').send(PAGE))
app.use('/scripts', express.static(scripts))
const Stored = PouchDB.defaults({ prefix: `${folder}/` })
app.use('/', overHttp(Stored, { mode: 'minimumForPouchDB', inMemoryConfig: true }))
const server = app.listen(0, '127.0.0.1', () => console.log(server.address().port))
