/** Where the shop's server is found, as it says itself at the address that the QR code named. */

export interface Where {
  shop: string
  /** Where the app lives: one name and port for ever. */
  origin: string
  name: string
  port: number
  door_port: number
  fingerprint: string
  addresses: string[]
}

export interface Found {
  where: Where
  /** Ms that this device's clock is ahead of the server's; null where the server did not say its time. */
  ahead: number | null
}

function aheadOf(date: string | null): number | null {
  const theirs = Date.parse(date ?? '')
  return Number.isNaN(theirs) ? null : Date.now() - theirs
}

/** Throws what the browser throws when nobody answers, or somebody else. */
export async function findWhere(): Promise<Found> {
  const answer = await fetch('/where', { cache: 'no-store' })
  if (!answer.ok) throw new Error(`/where: ${answer.status}`)
  const where = (await answer.json()) as Where
  return { where, ahead: aheadOf(answer.headers.get('date')) }
}
