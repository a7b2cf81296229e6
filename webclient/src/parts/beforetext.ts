/** What is said of a browser that was somebody else before: what is lost, by the numbers of its entries. */

export interface BeforeFacts {
  made: number
  why: 'cleared' | 'copied'
  at_shop: number | null
}

const CLEARED = 'This browser’s storage was cleared.'

function lost(made: number, at_shop: number): string {
  const count = made - at_shop
  const numbers = count === 1 ? `number ${made}` : `numbers ${at_shop + 1} to ${made}`
  const entries = count === 1 ? '1 entry' : `${count} entries`
  return `${CLEARED} ${entries} (${numbers} of ${made}) had not reached the shop and are lost here. Enter them again; what was handed on as a file is not lost.`
}

/** One or two sentences. */
export function beforeSays({ made, why, at_shop }: BeforeFacts): string {
  if (why === 'copied')
    return 'Another phone works under this one’s identity: it was copied or set back. This one goes on under a new identity. Nothing is lost; look at what is held back.'
  if (at_shop === null)
    return `${CLEARED} It had made ${made} entries. Whether any is lost is told as soon as the shop is in reach.`
  if (at_shop >= made)
    return `${CLEARED} Nothing is lost: the shop has all ${made} entries that were made here.`
  return lost(made, at_shop)
}
