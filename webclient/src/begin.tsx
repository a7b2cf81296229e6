import { effect } from '@preact/signals'
import { render } from 'preact'
import { App } from './App.tsx'
import { keepEngines } from './first/keep.tsx'
import { watchRoom } from './parts/room.ts'
import { address, followLinks } from './parts/router.ts'
import { startApp, startSync } from './parts/seam.ts'
import { findHand } from './parts/spell.ts'
import { startTheme } from './parts/theme.ts'
import { standsAsLeft } from './stand/Engines.tsx'
// One file with the rest of the app: the first script's import of it needs none of its own then.
import './first/early.ts'

/** The drawing takes it off what it uses again. */
const LEFT = 'data-as-left'

type Mode = 'stand' | 'desk'

function modeOf(path: string): Mode {
  return path.startsWith('/desk') ? 'desk' : 'stand'
}

/** The desk looks at the shop more often; who walks from one to the other changes the pace. */
function keepPace(started: Mode): void {
  let now = started
  effect(() => {
    const next = modeOf(address.value.path)
    if (next !== now) startSync(next)
    now = next
  })
}

/**
 * Draws the app over what the page came with, piece by piece: a thumb on an engine keeps its engine. A piece that the
 * first screen has no use for keeps its mark, and goes: nobody would ever take it away again.
 */
function drawOver(root: HTMLElement): void {
  standsAsLeft(
    [...root.querySelectorAll('a.engine')].map((card) => card.getAttribute('href') ?? ''),
  )
  for (const piece of root.children) piece.setAttribute(LEFT, '')
  render(<App />, root)
  for (const piece of root.querySelectorAll(`:scope > [${LEFT}]`)) piece.remove()
}

async function start(root: HTMLElement): Promise<void> {
  startTheme()
  watchRoom()
  followLinks()
  const mode = modeOf(address.value.path)
  await Promise.all([startApp(mode), findHand()])
  drawOver(root)
  keepPace(mode)
  keepEngines()
}

const root = document.getElementById('app')
if (root) void start(root)
