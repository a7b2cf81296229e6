/** Prints `client_parts.ts` with all that it needs as one script for a page, which finds it as `client`. */
import { fileURLToPath } from 'node:url'
import { rolldown } from '../../webclient/node_modules/rolldown/dist/index.mjs'

const path = (name) => fileURLToPath(new URL(name, import.meta.url))
const modules = [path('../../webclient/node_modules')]
const bundle = await rolldown({ input: path('client_parts.ts'), logLevel: 'silent', resolve: { modules } })
const { output } = await bundle.generate({ format: 'iife', name: 'client', exports: 'named' })
console.log(output[0].code)
