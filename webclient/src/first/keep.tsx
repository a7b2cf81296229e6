/** Keeps the engines for the next cold start, whenever they have changed and the thumb rests. See sw/asleft.ts. */
import { effect } from '@preact/signals'
import { render } from 'preact'
import { engines } from '../parts/seam.ts'
import { hand } from '../parts/spell.ts'
import { theme } from '../parts/theme.ts'
import { Engines } from '../stand/Engines.tsx'
import { ADDRESS, type AsLeft, CACHE } from '../sw/asleft.ts'

const REST_MS = 400

/** The strip's count is of that moment, and nothing would be worse than a stale "all safe". */
function withoutCount(apart: HTMLElement): void {
  const strip = apart.querySelector('.strip')
  if (!strip) return
  strip.className = 'strip'
  strip.textContent = 'Opening the book'
}

/** The screen drawn apart from the page. */
function drawn(): string {
  const apart = document.createElement('div')
  render(<Engines />, apart)
  withoutCount(apart)
  const html = apart.innerHTML
  render(null, apart)
  return html
}

function asLeft(): AsLeft {
  const { dataset } = document.documentElement
  const root = Object.entries(dataset).map(([name, value]) => [`data-${name}`, value ?? ''])
  const drawnBy = document.getElementById('begin')?.getAttribute('href') ?? ''
  return { drawnBy, root: Object.fromEntries(root), html: drawn() }
}

async function keep(): Promise<void> {
  const cache = await caches.open(CACHE)
  if (hand.value && engines.value.length)
    await cache.put(ADDRESS, new Response(JSON.stringify(asLeft())))
  else await cache.delete(ADDRESS)
}

/** Starts to keep. A browser that keeps nothing, or has no room, starts without it. */
export function keepEngines(): void {
  let timer: ReturnType<typeof setTimeout>
  effect(() => {
    void [engines.value, hand.value, theme.value]
    clearTimeout(timer)
    timer = setTimeout(() => void keep().catch(() => undefined), REST_MS)
  })
}
