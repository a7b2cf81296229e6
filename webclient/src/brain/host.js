/**
 * Starts MicroPython with the trade package in it. Plain JavaScript, because the browser and the tests'
 * Node run this very file.
 */

/** @typedef {{ path: string, bytes: Uint8Array }} PackedFile */
/**
 * One call, and a rest between calls: the interpreter gives back what it no longer uses.
 * @typedef {((name: string, text: string) => string) & { rest?: () => void }} Call
 */
/**
 * @typedef {object} Interpreter
 * @property {{ mkdirTree(path: string): void, writeFile(path: string, bytes: Uint8Array): void }} FS
 * @property {(name: string) => any} pyimport
 * @property {(code: string) => void} runPython
 * @property {{ _memory?: WebAssembly.Memory }} _module `_memory`: where the build has put it in reach
 */
/** @typedef {(options: { url: string, stdout?: (line: string) => void, stderr?: (line: string) => void }) => Promise<Interpreter>} Loader */

const FORMAT = 1
const NEWLINE = 10
/** On the interpreter's own search path. */
const ROOT = '/lib'
/**
 * Bytes that calls may use up before the interpreter tidies up of itself. It does so at the end of a call and looks at
 * the whole book then; its own habit, after each 16 KB, would put that between a key and its verdict.
 */
const ROOM = 16 * 1024 * 1024

/**
 * The files of a pack: one line of JSON with paths and lengths, then their bytes.
 * @param {Uint8Array} pack
 * @returns {PackedFile[]}
 */
export function unpack(pack) {
  const start = pack.indexOf(NEWLINE) + 1
  const head = JSON.parse(new TextDecoder().decode(pack.subarray(0, start)))
  if (head.format !== FORMAT) throw new Error(`A pack of format ${head.format} is not known here.`)
  let at = start
  const files = head.files.map((/** @type {[string, number]} */ [path, length]) => {
    at += length
    return { path, bytes: pack.subarray(at - length, at) }
  })
  if (at !== pack.length) throw new Error('The pack is cut short or has bytes left over.')
  return files
}

/**
 * Puts the pack's files where the interpreter looks for modules, and lets it tidy up as seldom as suits us.
 * @param {Interpreter} python
 * @param {PackedFile[]} files
 */
export function equip(python, files) {
  for (const { path, bytes } of files) {
    const file = `${ROOT}/${path}`
    python.FS.mkdirTree(file.slice(0, file.lastIndexOf('/')))
    python.FS.writeFile(file, bytes)
  }
  python.pyimport('gc').threshold(ROOM)
}

/**
 * The package's one entry point.
 * Python exceptions arrive as errors named "PythonError"; anything else means that the interpreter is lost.
 * @param {Interpreter} python
 * @returns {Call}
 */
export function entryOf(python) {
  const gc = python.pyimport('gc')
  const { call } = python.pyimport('trade.calls')
  return Object.assign(
    (/** @type {string} */ name, /** @type {string} */ text) => call(name, text),
    {
      rest: () => gc.collect(),
    },
  )
}

/**
 * Loads the interpreter, writes the package into its file system and returns its one entry point.
 * @param {Loader} load `loadMicroPython`
 * @param {string} wasm address (in Node: path) of the interpreter
 * @param {Uint8Array} pack
 * @returns {Promise<Call>}
 */
export async function startHost(load, wasm, pack) {
  const python = await load({ url: wasm })
  equip(python, unpack(pack))
  return entryOf(python)
}
