/** A page that is opened in the background paints nothing until it is looked at. */
const PAINT_BY_MS = 500

/** Resolves when what is on the page now has been painted: work begun earlier would hold up that picture. */
export function afterPaint(): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, PAINT_BY_MS)
    requestAnimationFrame(() => setTimeout(resolve))
  })
}
