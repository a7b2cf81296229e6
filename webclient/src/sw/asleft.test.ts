import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { type AsLeft, filled } from './asleft.ts'

const HEAD = '<link id="begin" rel="modulepreload" href="/assets/begin-AbC.js">'
const PAGE = readFileSync(new URL('../../index.html', import.meta.url), 'utf8').replace(
  '</head>',
  `${HEAD}</head>`,
)
const LEFT: AsLeft = {
  drawnBy: '/assets/begin-AbC.js',
  root: { 'data-theme': 'dark', 'data-low': '' },
  html: '<main><a href="/build/1">H-204</a></main>',
}

it('puts the engines into the page as it was built', () => {
  expect(filled(PAGE, LEFT)).toContain(`<div id="app">${LEFT.html}</div>`)
})

it('gives the page the theme and the room that it had', () => {
  expect(filled(PAGE, LEFT)).toContain('<html lang="en" data-theme="dark" data-low="">')
})

it('leaves the page of another build alone', () => {
  expect(filled(PAGE, { ...LEFT, drawnBy: '/assets/begin-XyZ.js' })).toBe(PAGE)
  expect(filled(PAGE, { ...LEFT, drawnBy: '' })).toBe(PAGE)
})

it('takes words with a dollar sign as words', () => {
  const html = "<p>cost $& and $' more</p>"
  expect(filled(PAGE, { ...LEFT, html })).toContain(`<div id="app">${html}</div>`)
})
