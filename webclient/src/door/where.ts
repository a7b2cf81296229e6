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
  /** The server's time. */
  now: string
}

/** Throws what the browser throws when nobody answers, or somebody else. */
export async function findWhere(): Promise<Where> {
  const answer = await fetch('/where', { cache: 'no-store' })
  if (!answer.ok) throw new Error(`/where: ${answer.status}`)
  return (await answer.json()) as Where
}
