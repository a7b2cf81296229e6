/**
 * The page behind the QR code, over plain http and by address: before a phone trusts the shop there is no other way to
 * it. It hands over the certificate and finds out whether the phone is ready for the app. It asks for no secret and
 * sends none: the code stays behind the "#".
 */
import './door.css'
import { codeIn } from '../join/code.ts'
import { el, key, p } from './draw.ts'
import { look, type Seen } from './probe.ts'
import { clockSays } from './says.ts'
import { goOnStep, here, inAnotherApp, nameStep, trustStep } from './steps.ts'
import { findWhere, type Where } from './where.ts'

const root = document.getElementById('door') as HTMLElement
const told = el('p', { role: 'status' })
const lookKey = key('Look again', () => void run(true))
/** What the page shows now, as text: the same is not drawn twice, since somebody is reading it. */
let shown = ''
let insideIsFine = false
let looking = false

function show(what: string, ...parts: (Node | null)[]): void {
  shown = what
  root.replaceChildren(...parts.filter((part) => part !== null))
}

function title(shop: string | null): HTMLElement {
  return el('h1', {}, shop ? `Join ${shop}` : 'Join the shop')
}

function clockLine({ now }: Where): HTMLElement | null {
  const wrong = clockSays(now, new Date())
  return wrong ? el('p', { class: 'caution', role: 'alert' }, wrong) : null
}

function showSteps(where: Where, seen: Seen): void {
  const clock = clockLine(where)
  const what = JSON.stringify([{ ...where, now: '' }, seen, clock !== null])
  if (what === shown) return
  const { system } = here()
  const rest = seen.name
    ? [trustStep(where, seen, system), goOnStep(where, seen, codeIn(location.hash))]
    : []
  const again = seen.trusted ? [] : [told, lookKey]
  show(what, title(where.shop), clock, nameStep(where, seen), ...rest, ...again)
}

function showUnreached(): void {
  show(
    'unreached',
    title(null),
    p('The shop’s server does not answer.'),
    p('Is this device in the shop’s wifi? Join it, then look again.'),
    told,
    lookKey,
  )
}

function showInAnotherApp(): void {
  const goOn = () => {
    insideIsFine = true
    void run(true)
  }
  show('inside', title(null), ...inAnotherApp(goOn))
}

async function lookAndShow(): Promise<void> {
  const where = await findWhere()
  showSteps(where, await look(where))
}

/**
 * One look at a time. The page looks by itself whenever somebody comes back to it from the settings; who asks for it is
 * told that it was done.
 */
async function run(asked: boolean): Promise<void> {
  if (looking) return
  if (here().inside && !insideIsFine) return showInAnotherApp()
  looking = true
  const before = shown
  if (asked) told.textContent = 'Looking …'
  await lookAndShow().catch(showUnreached)
  told.textContent = asked && shown === before ? 'Looked again: it is still as it was.' : ''
  looking = false
}

document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'visible') void run(false)
})
addEventListener('pageshow', ({ persisted }) => {
  if (persisted) void run(false)
})
void run(false)
