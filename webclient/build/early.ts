/**
 * Has the browser fetch the app's main chunk together with the first script, which only opens the book and would
 * ask for the chunk too late. Its link's id tells the first script which build of the app this is.
 */
import type { Plugin } from 'vite'

const MAIN = /\/src\/begin\.tsx$/

/** The Vite plugin. */
export function early(): Plugin {
  return {
    name: 'standbook-early',
    apply: 'build',
    transformIndexHtml: {
      order: 'post',
      handler(html, { bundle }) {
        const main = Object.values(bundle ?? {}).find(
          (file) => file.type === 'chunk' && MAIN.test(file.facadeModuleId ?? ''),
        )
        if (!main) throw new Error('The build has no chunk of src/begin.tsx to fetch early.')
        const attrs = {
          id: 'begin',
          rel: 'modulepreload',
          crossorigin: true,
          href: `/${main.fileName}`,
        }
        return { html, tags: [{ tag: 'link', attrs, injectTo: 'head' }] }
      },
    },
  }
}
