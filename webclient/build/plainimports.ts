/**
 * Leaves out what Vite lays around each `import()` to fetch a part's styles beforehand: there is one sheet, the page
 * names it, and the helper would be a download of its own on each phone's first visit.
 */
import type { Plugin } from 'vite'

/** In place of the helper, one for each module that has such imports: one for all would be a file of its own. */
const INSTEAD = '\0plain-import:'

/** The Vite plugin. */
export function plainImports(): Plugin {
  let seen = false
  return {
    name: 'standbook-plain-imports',
    enforce: 'pre',
    apply: 'build',
    resolveId: {
      filter: { id: /vite\/preload-helper/ },
      handler: (_helper, importer) => `${INSTEAD}${importer}`,
    },
    load: {
      filter: { id: new RegExp(`^${INSTEAD}`) },
      handler() {
        seen = true
        return 'export const __vitePreload = (load) => load()'
      },
    },
    generateBundle(_options, bundle) {
      const sheets = Object.keys(bundle).filter((name) => name.endsWith('.css'))
      if (!seen || sheets.length !== 1)
        throw new Error('The build has another helper around import() or not just one sheet.')
    },
  }
}
