import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { fitted } from '../../build/interpreter.ts'
import { type Call, type Loader, startHost } from './host.js'
import { makeImprint, startFrom } from './imprint.js'

const PACKAGE = '@micropython/micropython-webassembly-pyscript'
const find = createRequire(import.meta.url).resolve
const WASM = find(`${PACKAGE}/micropython.wasm`)
const PACK = new Uint8Array(readFileSync(new URL('../../generated/trade.pack', import.meta.url)))

let folder: string
let load: Loader
let imprint: Uint8Array

/** The script as the browser gets it: only there the memory is in reach. */
async function fittedLoader(): Promise<Loader> {
  const file = join(folder, 'micropython.mjs')
  writeFileSync(file, fitted(readFileSync(find(`${PACKAGE}/micropython.mjs`), 'utf8')))
  return (await import(/* @vite-ignore */ pathToFileURL(file).href)).loadMicroPython
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'imprint-'))
  load = await fittedLoader()
  imprint = (await makeImprint(load, WASM, PACK)) as Uint8Array
})

afterAll(() => rmSync(folder, { recursive: true }))

const OPEN = '{"build":"b","seqs":[],"read":[]}'
/** Something of each sort: baked words, a calculator (loaded late), a book, a refusal, a call that there is none of. */
const QUESTIONS: [string, string][] = [
  ['catalogue', '{}'],
  ['reckon_page', '{}'],
  ['reckon', '{"name":"cold-lash","inputs":{"hot_lash":"0.022 in","correction":"0.004 in"}}'],
  ['open', OPEN],
  ['state', '{"build":"b"}'],
  ['step', '{"build":"b","step":"journals"}'],
  ['state', '{"build":"nobody"}'],
  ['nothing', '{}'],
]

function answers(call: Call): string[] {
  return QUESTIONS.map(([name, question]) => call(name, question))
}

it('answers from the imprint, letter by letter, as it answers from the pack', async () => {
  const fromPack = answers(await startHost(load, WASM, PACK))
  expect(answers(await startFrom(load, WASM, imprint))).toEqual(fromPack)
  expect(fromPack.join()).toContain('"value"')
})

it('starts as often as one likes, and no start knows of the book of another', async () => {
  const first = await startFrom(load, WASM, imprint)
  first('open', OPEN)
  first.rest?.()
  const second = await startFrom(load, WASM, imprint)
  expect(second('state', '{"build":"b"}')).toContain('build_not_open')
})

it('has the whole package in it: nothing is loaded from the pack any more', async () => {
  const from = await startFrom(load, WASM, imprint)
  expect(from('reckon_page', '{}')).not.toContain('"error"')
  expect(from('tightened', '{"build":"b"}')).toContain('build_not_open')
})

it('is the smaller part of the memory that the interpreter begins with', () => {
  expect(imprint.length).toBeLessThan(4_000_000)
})

it('says so where the memory is out of reach', async () => {
  const { loadMicroPython } = await import(`${PACKAGE}/micropython.mjs`)
  await expect(makeImprint(loadMicroPython, WASM, PACK)).rejects.toThrow(/memory/)
})
