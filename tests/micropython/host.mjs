/**
 * Drives the browser's interpreter in Node: reads one JSON line `{name, text}` a call, writes one a reply.
 *
 * node host.mjs PACK    (the interpreter and its start are the client's own)
 */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { createInterface } from 'node:readline'
import { pathToFileURL } from 'node:url'

const CLIENT = new URL('../../webclient/', import.meta.url)
const PACKAGE = '@micropython/micropython-webassembly-pyscript'

/** The interpreter's script is one line of 100 KB: Node would print it with every uncaught error. */
process.on('uncaughtException', (error) => {
  process.stderr.write(`${error.name}: ${error.message}\n`)
  process.exit(3)
})

function say(reply) {
  process.stdout.write(`${JSON.stringify(reply)}\n`)
}

async function start(pack) {
  const find = createRequire(new URL('package.json', CLIENT))
  const script = pathToFileURL(find.resolve(`${PACKAGE}/micropython.mjs`))
  const { loadMicroPython } = await import(script)
  const { startHost } = await import(new URL('src/brain/host.js', CLIENT))
  const quiet = (options) => loadMicroPython({ ...options, stdout: complain, stderr: complain })
  return startHost(quiet, find.resolve(`${PACKAGE}/micropython.wasm`), readFileSync(pack))
}

/** What the package prints must not get between the replies. */
function complain(line) {
  process.stderr.write(`${line}\n`)
}

function answer(call, { name, text }) {
  try {
    return { text: call(name, text) }
  } catch (error) {
    return { raised: `${error.name}: ${error.message}`, lost: error.name !== 'PythonError' }
  }
}

const began = performance.now()
const call = await start(process.argv[2])
say({ ready: true, ms: performance.now() - began })
for await (const line of createInterface({ input: process.stdin })) say(answer(call, JSON.parse(line)))
