/** Brotli beside each hashed file: packed once here, as small as it goes, and not at each request. */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { brotliCompressSync, constants } from 'node:zlib'
import type { Plugin } from 'vite'

const WORTH_IT = /\.(js|css|wasm|pack)$/
/** How distances are written (RFC 7932, section 4): which way is the shortest differs from script to machine code. */
const WAYS: [postfix: number, direct: number][] = [
  [0, 0],
  [2, 0],
  [0, 8],
  [1, 12],
]

function smallest(bytes: Buffer): Buffer {
  const packed = WAYS.map(([postfix, direct]) =>
    brotliCompressSync(bytes, {
      params: {
        [constants.BROTLI_PARAM_NPOSTFIX]: postfix,
        [constants.BROTLI_PARAM_NDIRECT]: direct,
      },
    }),
  )
  return packed.reduce((least, one) => (one.length < least.length ? one : least))
}

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
          writeFileSync(`${file}.br`, smallest(readFileSync(file)))
        }
      },
    },
  }
}
