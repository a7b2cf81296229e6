/**
 * The first script of the page, small so that it runs early: it opens the book on the device while the browser is
 * still reading the rest, which takes longer than the book. Where the page came with the engines in it, their
 * picture goes first.
 */
import './styles/index.css'
import { afterPaint } from './first/paint.ts'

async function begin(root: HTMLElement): Promise<void> {
  if (root.firstChild) await afterPaint()
  await import('./first/early.ts')
  await import('./begin.tsx')
}

const root = document.getElementById('app')
if (root) void begin(root)
