/**
 * Builds the service worker after the page, with the list of all built files inside.
 *
 * One list makes one set: a phone holds either all files of a version or none, so a page never meets the
 * trade pack of another version.
 */
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join, relative, resolve, sep } from 'node:path'
import { build, type Plugin, type ResolvedConfig } from 'vite'
import { DOOR } from './door.ts'

interface Precached {
  url: string
  revision: string | null
}

/** Names with a content hash need no revision: another content has another name. */
const HASHED = /^assets\/.+-[\w-]{8}\.[a-z0-9]+$/

function filesUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
}

/** The server gives the page at the root. */
function addressOf(name: string): string {
  return name === 'index.html' ? '/' : `/${name}`
}

/** Every built file with its revision, in the order of names so that equal builds give equal workers. */
export function precacheList(folder: string): Precached[] {
  const names = filesUnder(folder).map((file) => relative(folder, file).split(sep).join('/'))
  return names
    .filter((name) => name !== 'sw.js' && !name.endsWith('.map') && !name.startsWith(`${DOOR}/`))
    .sort()
    .map((name) => ({
      url: addressOf(name),
      revision: HASHED.test(name) ? null : digest(join(folder, name)),
    }))
}

function digest(file: string): string {
  return createHash('sha256').update(readFileSync(file)).digest('hex').slice(0, 16)
}

async function buildWorker(config: ResolvedConfig, folder: string): Promise<void> {
  await build({
    configFile: false,
    root: config.root,
    logLevel: 'warn',
    publicDir: false,
    define: {
      PRECACHE: JSON.stringify(precacheList(folder)),
      'process.env.NODE_ENV': JSON.stringify('production'),
    },
    build: {
      outDir: folder,
      emptyOutDir: false,
      target: 'es2022',
      rolldownOptions: {
        input: resolve(config.root, 'src/sw/worker.ts'),
        output: { format: 'iife', entryFileNames: 'sw.js' },
      },
    },
  })
}

/** The Vite plugin. */
export function precache(): Plugin {
  let config: ResolvedConfig
  return {
    name: 'standbook-precache',
    apply: 'build',
    configResolved(resolved) {
      config = resolved
    },
    async closeBundle() {
      await buildWorker(config, resolve(config.root, config.build.outDir))
    },
  }
}
