import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, it } from 'vitest'
import { precacheList } from './precache.ts'

let folder: string

function put(name: string, text: string): void {
  mkdirSync(join(folder, name, '..'), { recursive: true })
  writeFileSync(join(folder, name), text)
}

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'built-'))
  put('index.html', '<html>')
  put('assets/index-AbC_12-9.js', 'app')
  put('assets/trade-ij1O6a78.pack', 'pack')
  put('icons/icon.svg', '<svg/>')
  put('door/door.html', 'joins a phone')
  put('door/door.js', 'joins a phone')
  put('sw.js', 'the last worker')
})

afterEach(() => rmSync(folder, { recursive: true }))

it('lists every file but the worker itself and what a phone sees before it has joined; the page stands at the root', () => {
  expect(precacheList(folder).map(({ url }) => url)).toEqual([
    '/assets/index-AbC_12-9.js',
    '/assets/trade-ij1O6a78.pack',
    '/icons/icon.svg',
    '/',
  ])
})

it('gives a revision to what keeps its name when its content changes, and only to that', () => {
  const before = precacheList(folder)
  put('index.html', '<html lang="en">')
  const after = precacheList(folder)
  expect(after.map(({ revision }) => revision === null)).toEqual([true, true, false, false])
  expect(after.at(-1)?.revision).not.toBe(before.at(-1)?.revision)
  expect(after.slice(0, -1)).toEqual(before.slice(0, -1))
})
