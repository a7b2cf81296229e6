/** Brotli beside each hashed file: packed once here, as small as it goes, and not at each request. */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { brotliCompressSync } from 'node:zlib'
import type { Plugin } from 'vite'

const WORTH_IT = /\.(js|css|wasm|pack)$/

export function packed(): Plugin {
  let folder = ''
  return {
    name: 'packed',
    apply: 'build',
    configResolved({ root, build }) {
      folder = resolve(root, build.outDir, build.assetsDir)
    },
    closeBundle: {
      order: 'post',
      sequential: true,
      handler() {
        for (const name of readdirSync(folder).filter((one) => WORTH_IT.test(one))) {
          const file = join(folder, name)
          writeFileSync(`${file}.br`, brotliCompressSync(readFileSync(file)))
        }
      },
    },
  }
}
