/** Builds the page of these tests: `node bundle.mjs OUT`. The client's store and sync, whole, in one script. */
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { rolldown } from '../../../webclient/node_modules/rolldown/dist/index.mjs'

const here = (path) => fileURLToPath(new URL(path, import.meta.url))
const [out] = process.argv.slice(2)

const bundle = await rolldown({
  input: here('./page.mjs'),
  logLevel: 'silent',
  resolve: { modules: [here('../../../webclient/node_modules')] },
})
const { output } = await bundle.generate({ format: 'iife' })
writeFileSync(out, output[0].code)
