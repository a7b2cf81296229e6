/** Empties the interpreter script's branches for Node, which no browser enters. */
import type { Plugin } from 'vite'

const NODE_MODULES = new Set(['fs', 'module', 'path', 'url'])
const EMPTY = '\0no-node'

/** The Vite plugin. */
export function browserOnly(): Plugin {
  return {
    name: 'standbook-browser-only',
    apply: 'build',
    enforce: 'pre',
    resolveId: (name, importer) =>
      NODE_MODULES.has(name) && importer?.endsWith('micropython.mjs') ? EMPTY : null,
    load: (name) => (name === EMPTY ? 'export {}' : null),
  }
}
