import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { expect, it } from 'vitest'
import { fitted, forBrowser } from './interpreter.ts'

const SCRIPT = '@micropython/micropython-webassembly-pyscript/micropython.mjs'

function script(): string {
  return readFileSync(createRequire(import.meta.url).resolve(SCRIPT), 'utf8')
}

it('takes the checks out, the one at every crossing among them, and leaves those that do something besides', () => {
  const code = fitted(script())
  expect(code).toMatch(/func=wasmTable\.get\(funcPtr\)\),0,func\}/)
  expect(code).toMatch(/assert\(\(requestedSize>>>=0\)>oldSize\)/)
  expect(code).toMatch(/assert\(!\(flags&=-6401\)/)
  expect(code.match(/\bassert\(/g)?.length).toBeLessThan(8)
})

it('takes out what only Node has', () => {
  expect(forBrowser(script()).match(/\bimport\("\w+/g)).toBeNull()
})

it('puts memory and address in reach', () => {
  const code = fitted(script())
  expect(code).toMatch(/Module\._memory=wasmMemory=wasmExports\.memory/)
  expect(code).toMatch(/export const address=import\.meta\.url/)
})

it('refuses a script that it does not know', () => {
  expect(() => fitted('export const loadMicroPython = 1')).toThrow(/not the version/)
})
