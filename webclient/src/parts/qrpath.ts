/** A QR code's modules as one path to draw. */

/** Modules of white that a camera wants around a code (ISO/IEC 18004). */
export const QUIET = 4

/** The dark modules, each run of a line as one bar, in units of a module; the first one stands at 0,0. */
export function qrPath(rows: string[]): string {
  const bars = rows.flatMap((row, y) =>
    [...row.matchAll(/1+/g)].map(
      ({ 0: run, index }) => `M${index} ${y}h${run.length}v1h-${run.length}z`,
    ),
  )
  return bars.join('')
}

/** The picture's box with the quiet zone around it. */
export function qrBox(rows: string[]): string {
  const size = rows.length + 2 * QUIET
  return `-${QUIET} -${QUIET} ${size} ${size}`
}
