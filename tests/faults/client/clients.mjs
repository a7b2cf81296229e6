/** The clients' code, ready to be run as often as there are pages: today's, a newer peer's, and the one before. */
import { fileURLToPath } from 'node:url'
import vm from 'node:vm'
import { rolldown } from '../../../webclient/node_modules/rolldown/dist/index.mjs'

const MODULES = fileURLToPath(new URL('../../../webclient/node_modules', import.meta.url))
const TODAY = fileURLToPath(new URL('./today.ts', import.meta.url))
const PREVIOUS = fileURLToPath(new URL('./previous/client.js', import.meta.url))

const WRITES = 'JSON.stringify(fields, checked)'
const BATCH = 'const BATCH = 200'

/** The code of a module with something else in a place of it. */
function changed(code, place, other) {
  if (!code.includes(place)) throw new Error(`the place has moved: ${place}`)
  return code.replace(place, other)
}

/**
 * A client of tomorrow writes fields that nobody knows today. It sends each entry by itself, so that a story has many
 * batches, two on their way at a time.
 */
const newer = {
  name: 'newer',
  transform(code, id) {
    if (id.endsWith('store/text.ts'))
      return changed(code, WRITES, "JSON.stringify({ ...fields, humour: 'dry', 'été': [1.0, 1e16] }, checked)")
    return id.endsWith('sync/push.ts') ? changed(code, BATCH, 'const BATCH = 1') : null
  },
}

/** Photos ask the brain for its version and for nothing else; it is no part of these stories. */
const noBrain = {
  name: 'no brain',
  resolveId: (id) => (id.endsWith('/catalogue.ts') ? '\0catalogue' : null),
  load: (id) => (id === '\0catalogue' ? "export const tradeVersion = async () => 'machine'" : null),
}

/** A module that begins with a constant loses its heading where that is inlined, and writes would be named wrongly. */
const HEADED = { inlineConst: false }

async function bundled(input, plugins = []) {
  const how = { logLevel: 'silent', resolve: { modules: [MODULES] }, optimization: HEADED }
  const bundle = await rolldown({ input, plugins: [noBrain, ...plugins], ...how })
  const { output } = await bundle.generate({ format: 'iife', name: 'client', exports: 'named' })
  return output[0].code
}

const AROUND = [
  'globalThis', 'self', 'window', 'document', 'navigator', 'indexedDB', 'localStorage', 'fetch', 'setTimeout',
  'clearTimeout', 'Date', 'Math', 'performance', 'crypto', 'BroadcastChannel', 'Response', 'CompressionStream',
  'Blob', 'createImageBitmap',
]

/** A function that runs the client's modules afresh in the given surroundings and gives what they export. */
function runnable(code, filename) {
  const made = vm.compileFunction(`${code}\nreturn client`, AROUND, { filename })
  return (around) => made(...AROUND.map((name) => around[name]))
}

export async function clients() {
  const [today, tomorrow, before] = await Promise.all([bundled(TODAY), bundled(TODAY, [newer]), bundled(PREVIOUS)])
  const [newerPage, previousPage] = [runnable(tomorrow, 'newer.js'), runnable(before, 'previous.js')]
  return { today: runnable(today, 'today.js'), newer: newerPage, previous: previousPage, code: today }
}

