import { readFileSync } from 'node:fs'
import { defineConfig } from 'vitest/config'
import { door } from './build/door.ts'
import { early } from './build/early.ts'
import { interpreter } from './build/interpreter.ts'
import { packed } from './build/packed.ts'
import { plainImports } from './build/plainimports.ts'
import { precache } from './build/precache.ts'
import { straight } from './build/straight.ts'

const { version } = JSON.parse(readFileSync(new URL('package.json', import.meta.url), 'utf8'))

export default defineConfig({
  define: { __APP_VERSION__: JSON.stringify(version) },
  plugins: [interpreter(), plainImports(), straight(), early(), precache(), door(), packed()],
  assetsInclude: ['**/*.pack'],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  // A text that is parsed is quicker to start than a literal that is compiled.
  json: { stringify: true },
  build: {
    outDir: '../server/standbook/web',
    emptyOutDir: true,
    target: 'es2022',
    // A data: address would need a looser content-security policy, and the pack must be a file of its own.
    assetsInlineLimit: 0,
    // Whatever a script imports is precached or under way: to be told of it beforehand costs more than it saves.
    modulePreload: false,
    // Two kilobytes less than the usual one on each phone's first visit.
    minify: 'terser',
    terserOptions: { module: true, ecma: 2020, compress: { passes: 3 } },
  },
  server: { proxy: { '/api': 'http://127.0.0.1:8765' } },
  test: { include: ['{src,build}/**/*.test.{ts,tsx}'] },
})
