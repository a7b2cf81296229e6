/**
 * The imprint: the interpreter's memory with the whole trade package loaded, before anything was asked of it.
 *
 * To load the package takes most of a start and comes out the same each time. So a phone does it once for a version,
 * aside, and starts from the imprint from then on. It holds nothing of any book, and it fits the very script, wasm
 * and pack that it was made with, no other. Plain JavaScript, because the browser and the tests' Node run this file.
 */
import { entryOf, equip, unpack } from './host.js'

/** @typedef {import('./host.js').Interpreter} Interpreter */
/** @typedef {import('./host.js').Loader} Loader */
/** @typedef {import('./host.js').Call} Call */

/** @param {Interpreter} python */
function memoryOf(python) {
  const memory = python._module._memory
  if (!memory) throw new Error('The interpreter does not let anybody at its memory.')
  return memory
}

/**
 * How far the memory has been written: behind it there are zeros only.
 * @param {WebAssembly.Memory} memory
 */
function writtenOf(memory) {
  const words = new BigUint64Array(memory.buffer)
  let end = words.length
  while (end > 0 && words[end - 1] === 0n) end -= 1
  return end * words.BYTES_PER_ELEMENT
}

/** @param {string} path of a file in the pack */
function moduleOf(path) {
  return path.replace(/(\/__init__)?\.mpy$/, '').replaceAll('/', '.')
}

/**
 * The imprint; null where the package does not fit into the memory that the interpreter begins with.
 * Nothing is awaited once the interpreter is there, so that no task of the browser can come in between.
 * @param {Loader} load
 * @param {string} wasm
 * @param {Uint8Array} pack
 * @returns {Promise<Uint8Array | null>}
 */
export async function makeImprint(load, wasm, pack) {
  const files = unpack(pack)
  const python = await load({ url: wasm })
  const memory = memoryOf(python)
  const room = memory.buffer.byteLength
  const began = writtenOf(memory)
  equip(python, files)
  const imports = files.map(({ path }) => `import ${moduleOf(path)}`)
  python.runPython([...imports, 'import gc', 'gc.collect()'].join('\n'))
  if (memory.buffer.byteLength !== room) return null
  return new Uint8Array(memory.buffer).slice(0, Math.max(began, writtenOf(memory)))
}

/**
 * Starts the interpreter from an imprint.
 * @param {Loader} load
 * @param {string} wasm
 * @param {Uint8Array} imprint
 * @returns {Promise<Call>}
 */
export async function startFrom(load, wasm, imprint) {
  const python = await load({ url: wasm })
  new Uint8Array(memoryOf(python).buffer).set(imprint)
  return entryOf(python)
}
