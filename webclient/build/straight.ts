/**
 * Has what only names another file fetch that file at once. Where a part is fetched for what it does and others take
 * things out of it too, the bundler puts a file between that imports the part and is nothing else: one more download on
 * a first visit, and one more wait at each start.
 */
import { basename } from 'node:path'
import type { Plugin, Rolldown } from 'vite'

type Chunk = Rolldown.OutputChunk

/** The file that another one stands for; null where it is a part of its own. */
function stoodFor({ exports, imports, moduleIds }: Chunk): string | null {
  const bare = exports.length === 0 && moduleIds.length === 0 && imports.length === 1
  return bare ? (imports[0] ?? null) : null
}

/** The Vite plugin. */
export function straight(): Plugin {
  return {
    name: 'standbook-straight',
    apply: 'build',
    generateBundle(_options, bundle) {
      const chunks = Object.values(bundle).filter((part) => part.type === 'chunk')
      for (const between of chunks) {
        const part = stoodFor(between)
        if (part === null || between.isEntry) continue
        for (const chunk of chunks)
          chunk.code = chunk.code.replaceAll(basename(between.fileName), basename(part))
        delete bundle[between.fileName]
      }
    },
  }
}
