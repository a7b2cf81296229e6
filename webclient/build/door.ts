/**
 * Builds the door beside the app: the page that a phone opens before it trusts the shop, over plain http.
 *
 * It shares some words with the app and no file: it is served apart, and no phone keeps it. Its files have fixed names,
 * and are asked for anew each time.
 */
import { resolve } from 'node:path'
import { build, type Plugin, type ResolvedConfig } from 'vite'

/** Its folder among the built files; the app's worker leaves it out. */
export const DOOR = 'door'

async function buildDoor(config: ResolvedConfig, folder: string): Promise<void> {
  const root = resolve(config.root, 'src/door')
  await build({
    configFile: false,
    root,
    base: `/${DOOR}/`,
    logLevel: 'warn',
    publicDir: false,
    build: {
      outDir: resolve(folder, DOOR),
      emptyOutDir: true,
      target: 'es2020',
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
      rolldownOptions: {
        input: resolve(root, 'door.html'),
        output: { entryFileNames: 'door.js', assetFileNames: 'door.[ext]' },
      },
    },
  })
}

/** The Vite plugin. */
export function door(): Plugin {
  let config: ResolvedConfig
  return {
    name: 'standbook-door',
    apply: 'build',
    configResolved(resolved) {
      config = resolved
    },
    async closeBundle() {
      await buildDoor(config, resolve(config.root, config.build.outDir))
    },
  }
}
