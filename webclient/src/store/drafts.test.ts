import { beforeEach, expect, it, vi } from 'vitest'
import { freshBrowser, openTab, reading } from '../testing/device.ts'

beforeEach(() => {
  vi.unstubAllGlobals()
  freshBrowser()
})

it('LG14: half a number is there in the next tab', async () => {
  const one = await openTab()
  await one.draft.save('b/s/p', '2.44')
  await one.disconnect()
  const two = await openTab()
  expect(await two.draft.load('b/s/p')).toBe('2.44')
})

it('a fast thumb ends with its last text, and every save resolves when that or a later one is stored', async () => {
  const { draft } = await openTab()
  const saves = ['2', '2.', '2.4', '2.44', '2.448'].map((text) => draft.save('k', text))
  await saves[2]
  expect(['2.4', '2.44', '2.448']).toContain(await draft.load('k'))
  await Promise.all(saves)
  expect(await draft.load('k')).toBe('2.448')
})

it('a cleared field stays cleared, also while a save of it is under way', async () => {
  const { draft } = await openTab()
  const saves = [draft.save('k', '1'), draft.save('k', '12')]
  await draft.drop('k')
  await Promise.all(saves)
  expect(await draft.load('k')).toBeNull()
})

it('LG14: digits typed just before the tap do not come back after the entry is stored', async () => {
  const { draft, record } = await openTab()
  const saves = ['2', '2.4', '2.44'].map((text) => draft.save('k', text))
  await record({ ...reading(), draft: 'k' })
  await Promise.all(saves)
  expect(await draft.load('k')).toBeNull()
})

it('lists the half-typed fields of a build', async () => {
  const { draft } = await openTab()
  await draft.save('a/s/1', '1')
  await draft.save('a/s/2', '2')
  await draft.save('b/s/1', '3')
  expect(await draft.keys('a/')).toEqual(['a/s/1', 'a/s/2'])
})

it('small facts are kept between tabs', async () => {
  const one = await openTab()
  await one.remember('unit', { length: 'in' })
  expect(await (await openTab()).recall('unit')).toEqual({ length: 'in' })
  expect(await one.recall('nothing')).toBeNull()
})
