/** The door's three steps as they stand: the name, the certificate, and in. */
import { isInAnotherApp, type System, systemOf } from '../join/system.ts'
import { fingerprintLines } from '../parts/fingerprint.ts'
import { el, key, type Mark, mark, p } from './draw.ts'
import type { Seen } from './probe.ts'
import { GUIDES, type Guide, goOnTo, SYSTEM_NAMES } from './says.ts'
import type { Where } from './where.ts'

const SAID: Record<Mark, string> = { done: 'done', failed: 'not found', open: 'to do' }

function step(title: string, state: Mark, now: boolean, ...inside: (Node | null)[]): HTMLElement {
  const said = el('span', { class: 'soft' }, SAID[state])
  const heading = el('h2', {}, mark(state), el('span', {}, title, ': ', said))
  return el('section', { class: `door-step${now ? ' now' : ''}` }, heading, ...inside)
}

/** Without the name nothing else helps: the book of a phone belongs to one name for ever. */
function nameMissing({ name }: Where): Node[] {
  return [
    p(`This device does not find the shop’s server by its name, ${name}.`),
    p('Everything recorded on a phone is kept under that name, so it has to be found first:'),
    el(
      'ol',
      { class: 'steps' },
      el(
        'li',
        {},
        'Is this device in the same wifi as the server, and not in the guests’ wifi? Mobile data may have to be off.',
      ),
      el(
        'li',
        {},
        'Else the network itself does not hand names on. Whoever keeps it gives the server a fixed address in the router, and the name there.',
      ),
      el(
        'li',
        {},
        'Or the shop uses a name of its own domain: the server is then started with “standbook serve --name” and that name.',
      ),
    ),
  ]
}

export function nameStep(where: Where, seen: Seen): HTMLElement {
  if (seen.name)
    return step('1. Find the shop', 'done', false, p(`The name ${where.name} leads to the shop.`))
  return step('1. Find the shop', 'failed', true, ...nameMissing(where))
}

function download(system: System): HTMLElement {
  const look = { class: 'button wide', href: '/ca.crt' }
  // Safari takes a profile only from a plain link; others would show the certificate instead of keeping it.
  const kept = system === 'ios' ? {} : { download: 'standbook-shop.crt' }
  return el('a', { ...look, ...kept }, GUIDES[system].key)
}

function list(steps: string[]): HTMLElement {
  return el('ol', { class: 'steps' }, ...steps.map((words) => el('li', {}, el('span', {}, words))))
}

function fingerprint(where: Where): HTMLElement {
  const lines = fingerprintLines(where.fingerprint).map((line) => el('span', {}, line))
  return el('div', {}, el('h3', {}, 'Fingerprint'), el('p', { class: 'fingerprint' }, ...lines))
}

const CAUTION =
  'Install it only when the fingerprint is the same, sign for sign, as the one that the desk shows. If it is not, stop, and tell the lead: somebody else answers in this network.'

/** What a careful person wants to know before trusting, and after. */
function meaning({ check, off }: Guide): HTMLElement {
  return el(
    'div',
    { class: 'stack' },
    el('h3', {}, 'What trusting it means'),
    p(
      'Whoever holds the shop’s private key could pass for the shop, and for other addresses of private networks, towards this device. The certificate is limited to those, and its key stays on the shop’s server.',
    ),
    p(`What the device itself shows is surer than this page. ${check}`),
    p(`When you leave the shop, take it off: ${off}`),
  )
}

function guide(system: System, where: Where): (Node | null)[] {
  const { first, steps } = GUIDES[system]
  return [
    fingerprint(where),
    p(CAUTION, 'caution'),
    first ? p(first) : null,
    download(system),
    list(steps),
    meaning(GUIDES[system]),
  ]
}

/** The same for the other systems, folded away: a page can be wrong about where it is open. */
function others(system: System): HTMLElement {
  const rest = (Object.keys(GUIDES) as System[]).filter((one) => one !== system)
  const inside = rest.flatMap((one) => [
    el('h3', {}, SYSTEM_NAMES[one]),
    download(one),
    list(GUIDES[one].steps),
    meaning(GUIDES[one]),
  ])
  const summary = el('summary', {}, 'Another device than this?')
  return el('details', { class: 'fold' }, summary, el('div', { class: 'stack' }, ...inside))
}

const TITLE = '2. Trust the shop’s server'

export function trustStep(where: Where, seen: Seen, system: System): HTMLElement {
  if (seen.trusted)
    return step(TITLE, 'done', false, p('This browser trusts the shop’s certificate.'))
  const on = p(
    `The steps for: ${SYSTEM_NAMES[system]}. In its settings the certificate is called “Standbook of ${where.name}”.`,
    'soft',
  )
  return step(TITLE, 'open', true, on, ...guide(system, where), others(system))
}

export function goOnStep(where: Where, seen: Seen, code: string): HTMLElement {
  const title = '3. Open the app'
  if (!seen.trusted) return step(title, 'open', false, p('Comes when step 2 is ticked.', 'soft'))
  const on = el('a', { class: 'button main wide', href: goOnTo(where.origin, code) }, 'Go on')
  const words = code
    ? 'The code goes with you.'
    : 'There is no code in this address: the app asks for the one that the desk shows.'
  return step(title, 'open', true, p(words), on)
}

/** A page inside another app can neither install nor keep anything. */
export function inAnotherApp(again: () => void): Node[] {
  return [
    p('This page is open inside another app, where nothing can be installed or kept.'),
    p(
      'Open its menu and choose “Open in browser”, or scan the QR code at the desk with the camera.',
    ),
    key('It is a browser: go on', again),
  ]
}

export function here() {
  const { userAgent, maxTouchPoints } = navigator
  const browser = { userAgent, maxTouchPoints }
  return { system: systemOf(browser), inside: isInAnotherApp(browser) }
}
