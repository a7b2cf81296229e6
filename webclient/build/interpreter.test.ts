import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { expect, it } from 'vitest'
import { withoutCheck } from './interpreter.ts'

const SCRIPT = '@micropython/micropython-webassembly-pyscript/micropython.mjs'

function script(): string {
  return readFileSync(createRequire(import.meta.url).resolve(SCRIPT), 'utf8')
}

it('takes exactly the check at every crossing out of the interpreter’s script', () => {
  const code = script()
  const without = withoutCheck(code)
  expect(without).not.toMatch(/wasmTable\.get\(funcPtr\)==/)
  expect(without).toMatch(/func=wasmTable\.get\(funcPtr\)\),func\}/)
  expect(code.length - without.length).toBeLessThan(120)
})

it('refuses a script that it does not know', () => {
  expect(() => withoutCheck('export const loadMicroPython = 1')).toThrow(/not the version/)
})
