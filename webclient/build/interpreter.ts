/**
 * The interpreter's script as the browser needs it: without its branches for Node, and without a check of its own
 * tables that it makes at every crossing between script and wasm (a fifth of the brain's time).
 */
import type { Plugin } from 'vite'

const SCRIPT = 'micropython.mjs'
const NODE_MODULES = new Set(['fs', 'module', 'path', 'url'])
const EMPTY = '\0no-node'

/** The table of functions never changes after the start, so the check can only cost. */
const CHECK =
  'assert(wasmTable.get(funcPtr)==func,"JavaScript-side Wasm function table mirror is out of date!"),'

/** The script without the check; a script that has no such check is another version, and wants a look. */
export function withoutCheck(code: string): string {
  if (code.split(CHECK).length !== 2)
    throw new Error(`${SCRIPT} is not the version that this build knows.`)
  return code.replace(CHECK, '')
}

/** The Vite plugin. */
export function interpreter(): Plugin {
  return {
    name: 'standbook-interpreter',
    apply: 'build',
    enforce: 'pre',
    resolveId: (name, importer) =>
      NODE_MODULES.has(name) && importer?.endsWith(SCRIPT) ? EMPTY : null,
    load: (name) => (name === EMPTY ? 'export {}' : null),
    transform: (code, name) => (name.endsWith(SCRIPT) ? withoutCheck(code) : null),
  }
}
