/**
 * Leaves out what Vite lays around each `import()` to fetch a part's styles beforehand: there is one sheet, the page
 * names it, and the helper would be a download of its own on each phone's first visit.
 */
import type { Plugin } from 'vite'

/** The Vite plugin. */
export function plainImports(): Plugin {
  let seen = false
  return {
    name: 'standbook-plain-imports',
    apply: 'build',
    transform: {
      filter: { id: /vite\/preload-helper/ },
      handler() {
        seen = true
        return { code: 'export const __vitePreload = (load) => load()', map: null }
      },
    },
    generateBundle(_options, bundle) {
      const sheets = Object.keys(bundle).filter((name) => name.endsWith('.css'))
      if (!seen || sheets.length !== 1)
        throw new Error('The build has another helper around import() or not just one sheet.')
    },
  }
}
