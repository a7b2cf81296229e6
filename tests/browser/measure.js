// What can be told of a screen's layout from its boxes. Answers are lists of sentences; an empty list is good.
(() => {
  const TARGETS = 'button, a[href], input, select, textarea, summary'
  const DOCKED = '.dock .main, .dock .set-key, .dock .pad-key, .dock .flag-key, .gate .main'
  const ROUNDING = 0.6
  // Least width and height in px. The strip is a line of 32 px: more would take room from every screen.
  const SIZES = [['.pad-key', 110, 72], ['.strip', 48, 32], ['*', 48, 48]]

  // Kept for those who hear the screen read; it takes no room.
  const unseen = (element) => element.closest('.unseen, .probe, .skip-to:not(:focus)') !== null

  function seen(element) {
    const { width, height } = element.getBoundingClientRect()
    return width > 0 && height > 0 && element.checkVisibility({ visibilityProperty: true }) && !unseen(element)
  }

  function named(element) {
    const words = (element.getAttribute('aria-label') ?? element.textContent ?? '').trim().split('\n').join(' ')
    return `<${element.localName} class="${element.getAttribute('class') ?? ''}"> ${words.slice(0, 50)}`
  }

  // With a sheet open, the page behind it is out of reach on purpose.
  function ground() {
    return document.querySelector('dialog[open]') ?? document.body
  }

  // The window that the page was laid out for: a phone zooms out of a page that is too wide, and its inner size grows.
  function room() {
    const { clientWidth, clientHeight } = document.documentElement
    return { width: clientWidth, height: clientHeight }
  }

  const all = (selector) => [...ground().querySelectorAll(selector)].filter(seen)

  function wide() {
    const page = document.scrollingElement
    return page.scrollWidth > room().width ? [`the page is ${page.scrollWidth} px wide of ${room().width}`] : []
  }

  function sticksOut(element) {
    const { left, right } = element.getBoundingClientRect()
    return left < -ROUNDING || right > room().width + ROUNDING
  }

  // A box with hidden overflow that holds more than it shows, or one that has to be scrolled sideways.
  function cuts(element) {
    const style = getComputedStyle(element)
    const x = style.overflowX !== 'visible' && element.scrollWidth > element.clientWidth + 1
    const hidden = ['hidden', 'clip'].includes(style.overflowY)
    return x || (hidden && element.scrollHeight > element.clientHeight + 1)
  }

  const hasWords = (element) => [...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim() !== '')

  function cutOff() {
    const words = all('*').filter((element) => hasWords(element) || element.matches(TARGETS))
    const out = words.filter(sticksOut).map((element) => `sticks out: ${named(element)}`)
    const cut = all('*').filter((element) => !element.closest('svg') && cuts(element))
    return [...out, ...cut.map((element) => `is cut off: ${named(element)}`)]
  }

  function covered(element) {
    element.scrollIntoView({ block: 'center', behavior: 'instant' })
    const { left, top, width, height } = element.getBoundingClientRect()
    const hit = document.elementFromPoint(left + width / 2, top + height / 2)
    return hit === null || !(element.contains(hit) || hit.contains(element) || hit.closest('label')?.control === element)
  }

  // Where a screen stands before anybody has scrolled it.
  function toTop() {
    scrollTo(0, 0)
    for (const element of document.querySelectorAll('*')) if (element.scrollTop > 0) element.scrollTop = 0
  }

  // Every target can be brought under the thumb; those of the dock are there without scrolling.
  function outOfReach() {
    toTop()
    const docked = all(DOCKED).filter((element) => {
      const { top, bottom } = element.getBoundingClientRect()
      return top < -ROUNDING || bottom > room().height + ROUNDING
    })
    const lost = all(TARGETS).filter(covered)
    toTop()
    return [
      ...docked.map((element) => `not in sight without scrolling: ${named(element)}`),
      ...lost.map((element) => `cannot be reached: ${named(element)}`),
    ]
  }

  // What the eye wants while the hand works: where, what is typed, what it means, what went wrong.
  const TOLD = '.place-words, .value, #verdict, .limit-words, [role=alert] .flag, .guide-set, .guide-when, .guide-target, .gate-line'

  // What stands in the empty box lets taps through to it.
  const inOneBox = (a, b) => a.closest('.box') !== null && a.closest('.box') === b.closest('.box')

  function hides({ element, box }) {
    const inset = 3
    const xs = [box.left + inset, (box.left + box.right) / 2, box.right - inset]
    const ys = [box.top + inset, (box.top + box.bottom) / 2, box.bottom - inset]
    const shown = (x, y) => {
      const hit = document.elementFromPoint(x, y)
      return hit !== null && (element.contains(hit) || hit.contains(element) || inOneBox(element, hit))
    }
    return !xs.every((x) => ys.every((y) => shown(x, y)))
  }

  function notInSight() {
    toTop()
    const told = all(TOLD).filter((element) => element.matches('input') || element.textContent.trim() !== '')
    const boxed = told.map((element) => ({ element, box: element.getBoundingClientRect() }))
    return boxed.filter(hides).map(({ element }) => `is not wholly in sight: ${named(element)}`)
  }

  function tooSmall() {
    return all(TARGETS).flatMap((element) => {
      const [width, height] = SIZES.find(([selector]) => element.matches(selector)).slice(1)
      const box = element.getBoundingClientRect()
      const fits = box.width >= width - ROUNDING && box.height >= height - ROUNDING
      return fits ? [] : [`${Math.round(box.width)} x ${Math.round(box.height)} px: ${named(element)}`]
    })
  }

  function gap(a, b) {
    const x = Math.max(a.left - b.right, b.left - a.right, 0)
    const y = Math.max(a.top - b.bottom, b.top - a.bottom, 0)
    return Math.hypot(x, y)
  }

  // Keys of one head, page, dock or sheet: a glove that misses one must not hit the next.
  function tooClose() {
    const targets = all(TARGETS).map((element) => ({
      element,
      box: element.getBoundingClientRect(),
      part: element.closest('dialog, header, .dock, .page, body'),
    }))
    const apart = (a, b) => a.part !== b.part || a.element.contains(b.element) || b.element.contains(a.element)
    return targets.flatMap((a, at) =>
      targets
        .slice(at + 1)
        .filter((b) => !apart(a, b) && gap(a.box, b.box) < 8 - ROUNDING)
        .map((b) => `${Math.round(gap(a.box, b.box))} px between ${named(a.element)} and ${named(b.element)}`),
    )
  }

  // Distance of the main action's upper edge from the lower edge of the screen.
  function mainAction() {
    const main = all('.dock .main, .dock .set-key').at(-1)
    return main ? room().height - main.getBoundingClientRect().top : null
  }

  function channel(value) {
    const share = value / 255
    return share <= 0.03928 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
  }

  function luminance(colour) {
    const [r, g, b] = colour.match(/[\d.]+/g).map(Number)
    return 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b)
  }

  function groundOf(element) {
    for (let at = element; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor
      if (!/^rgba\(.*, 0\)$/.test(colour)) return colour
    }
    return 'rgb(255, 255, 255)'
  }

  // Contrast by WCAG 2.2, and size in px, of the first element that fits.
  function ink(selector) {
    const element = ground().querySelector(selector)
    const style = getComputedStyle(element)
    const [a, b] = [luminance(style.color), luminance(groundOf(element))]
    return { contrast: (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), size: Number.parseFloat(style.fontSize) }
  }

  // Two frames: styles, observers and the layout that follows from them have settled.
  const settled = () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))

  window.measured = { wide, cutOff, notInSight, outOfReach, tooSmall, tooClose, mainAction, ink, settled }
})()
