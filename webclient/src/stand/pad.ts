/**
 * What a key of our own pad does to the digits in the box. It only ever writes what was pressed: whether the
 * text is a number, and which, is judged elsewhere.
 */

export const POINT = '.'
export const BACK = 'back'

/** The keys in reading order, three columns by four rows. */
export const KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', POINT, '0', BACK] as const
export type Key = (typeof KEYS)[number]

/** Longer than any gauge shows: a thumb that rests on a key must not fill the box. */
export const LONGEST = 14

const hasPoint = (text: string) => text.includes('.') || text.includes(',')

/** The text after `key`; unchanged where the key can add nothing (a second point, a box that is full). */
export function press(text: string, key: Key): string {
  if (key === BACK) return text.slice(0, -1)
  if (text.length >= LONGEST) return text
  if (key === POINT && hasPoint(text)) return text
  return text + key
}
