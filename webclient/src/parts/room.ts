/**
 * How much room there is, counted in lines of text: a small phone and a phone with text at 200 % are the same
 * case. Style sheets cannot ask for that (their queries do not see a text size set by hand), so the page says it.
 */

/** Under 740 px at the usual text size the drawing and the limit fold to one line. */
const LOW_IN_LINES = 740 / 16

/** Text at 150 % and more: the head of a page takes one more line. */
export function isBig(line: number): boolean {
  return line >= 24
}

/** True when the window holds too few lines for everything. `line` and `height` in px. */
export function isLow(height: number, line: number): boolean {
  return height / line < LOW_IN_LINES
}

function measure(): void {
  const line = Number.parseFloat(getComputedStyle(document.documentElement).fontSize)
  document.documentElement.toggleAttribute('data-low', isLow(window.innerHeight, line))
  document.documentElement.toggleAttribute('data-big', isBig(line))
}

/** Keeps `data-low` and `data-big` on the page's root right, also when the text size changes under way. */
export function watchRoom(): void {
  const probe = document.createElement('div')
  probe.className = 'probe'
  document.body.append(probe)
  new ResizeObserver(measure).observe(probe)
  addEventListener('resize', measure)
  measure()
}
