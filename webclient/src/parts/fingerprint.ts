/** The certificate's fingerprint as two eyes compare it: groups of four, four to a line. */

const GROUP = 4
const TO_A_LINE = 4

function pieces<T>(whole: ArrayLike<T>, size: number): T[][] {
  const all = Array.from(whole)
  const count = Math.ceil(all.length / size)
  return Array.from({ length: count }, (_, at) => all.slice(at * size, (at + 1) * size))
}

/** Lines of groups: "3F9A 02C4 …". Whatever stands between the digits, the same digits read the same. */
export function fingerprintLines(fingerprint: string): string[] {
  const digits = fingerprint.toUpperCase().replace(/[^0-9A-F]/g, '')
  const groups = pieces(digits, GROUP).map((group) => group.join(''))
  return pieces(groups, TO_A_LINE).map((line) => line.join(' '))
}
