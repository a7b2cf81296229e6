/** Elements without a framework: the door is a few hundred lines and is loaded once in a phone's life. */

type Child = Node | string | null

/** An element with attributes and children; a null child is left out. */
export function el(
  name: string,
  attributes: Record<string, string>,
  ...children: Child[]
): HTMLElement {
  const made = document.createElement(name)
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value)
  made.append(...children.filter((child) => child !== null))
  return made
}

export function p(words: string, look = ''): HTMLElement {
  return el('p', look ? { class: look } : {}, words)
}

export function key(words: string, act: () => void, look = 'button wide'): HTMLElement {
  const made = el('button', { type: 'button', class: look }, words)
  made.addEventListener('click', act)
  return made
}

const SVG = 'http://www.w3.org/2000/svg'

function shape(name: string, attributes: Record<string, string>): SVGElement {
  const made = document.createElementNS(SVG, name)
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value)
  return made
}

const TICK = 'M4 13l5.5 5.5L20 6.5'
const CROSS = 'M5 5l14 14M19 5L5 19'
const MARKS = { done: TICK, failed: CROSS, open: '' }

export type Mark = keyof typeof MARKS

/** A ring, with a tick or a cross in it; the word beside it says the same. */
export function mark(name: Mark): SVGElement {
  const line = { fill: 'none', stroke: 'currentColor', 'stroke-width': '3.4' }
  const made = shape('svg', { class: 'mark', viewBox: '0 0 24 24', 'aria-hidden': 'true' })
  if (name === 'open') made.append(shape('circle', { cx: '12', cy: '12', r: '9', ...line }))
  else made.append(shape('path', { d: MARKS[name], ...line }))
  return made
}
