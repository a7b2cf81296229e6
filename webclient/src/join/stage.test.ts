import { expect, it } from 'vitest'
import { type Facts, stageOf } from './stage.ts'

const phone = (more: Partial<Facts> = {}): Facts => ({
  system: 'android',
  inAnotherApp: false,
  installed: false,
  kept: true,
  whyNot: null,
  inTab: false,
  network: true,
  ...more,
})

it('takes no code where the browser does not keep the app, and says why', () => {
  for (const whyNot of ['not trusted', 'not secure', 'not reached', 'not allowed'] as const)
    expect(stageOf(phone({ kept: false, whyNot, installed: true, inTab: true }))).toBe(whyNot)
  expect(stageOf(phone({ kept: null }))).toBe('looking')
})

it('sends a page of another app to the browser before anything else', () => {
  expect(stageOf(phone({ inAnotherApp: true, kept: false, whyNot: 'not trusted' }))).toBe(
    'in another app',
  )
})

it('takes the code on an iPhone in the installed app only', () => {
  expect(stageOf(phone({ system: 'ios' }))).toBe('install first')
  expect(stageOf(phone({ system: 'ios', installed: true }))).toBe('code')
})

it('offers to install elsewhere, and goes on in the tab when asked', () => {
  for (const system of ['android', 'other'] as const) {
    expect(stageOf(phone({ system }))).toBe('install')
    expect(stageOf(phone({ system, inTab: true }))).toBe('code')
    expect(stageOf(phone({ system, installed: true }))).toBe('code')
  }
})

it('has nothing to join where the shop is served on one machine alone', () => {
  expect(stageOf(phone({ network: false }))).toBe('nothing to join')
  expect(stageOf(phone({ network: null, inTab: true }))).toBe('code')
})
