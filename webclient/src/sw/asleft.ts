/**
 * The engines as they were when this device last had them on its screen: part of the very page that a cold start is
 * given, so that they are there before any script is.
 *
 * They are kept as the HTML that the app itself drew. The app draws over them as soon as it runs; until then their
 * links work as links do.
 */

/** Where the page puts them and the service worker finds them. */
export const CACHE = 'standbook-as-left'
export const ADDRESS = '/as-left'
/** The one screen that is kept: the one that an installed app opens with. */
export const SCREEN = '/'

const EMPTY_ROOT = '<div id="app"></div>'
const EMPTY_HEAD = '<html lang="en">'

export interface AsLeft {
  /** Address of the main script that drew them: another build of the app may draw otherwise. */
  drawnBy: string
  /** Attributes of the page's root: theme and room. */
  root: Record<string, string>
  html: string
}

function head(root: Record<string, string>): string {
  const attributes = Object.entries(root).map(([name, value]) => ` ${name}="${value}"`)
  return EMPTY_HEAD.replace('>', `${attributes.join('')}>`)
}

/** The page with the engines in it; the page as it is where another build drew them. */
export function filled(page: string, left: AsLeft): string {
  if (!left.drawnBy || !page.includes(left.drawnBy)) return page
  // By functions: a "$&" in somebody's words is no pattern.
  return page
    .replace(EMPTY_HEAD, () => head(left.root))
    .replace(EMPTY_ROOT, () => EMPTY_ROOT.replace('><', () => `>${left.html}<`))
}
