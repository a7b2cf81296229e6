import { expect, it } from 'vitest'
import { isPage } from './paths.ts'

it.each([
  '/',
  '/join',
  '/build/1',
  '/build/1/step/solid_lash',
  '/first',
  '/build/1/hold/hold_1',
  '/calculators',
  '/calculators/preload',
  '/desk',
  '/desk/',
  '/desk/new',
  '/desk/build/1',
])('draws %s with the page', (path) => expect(isPage(path)).toBe(true))

it.each([
  '/api/v1/sync/push',
  '/api',
  '/assets/gone-12345678.js',
  '/sw.js',
  '/manifest.webmanifest',
  '/build',
  '/join/x',
  '/door/door.html',
  '/desks',
  '/first/more',
])('never answers %s with the page', (path) => expect(isPage(path)).toBe(false))
