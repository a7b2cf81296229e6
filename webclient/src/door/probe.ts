/**
 * Looks whether this device finds the shop by its name, and whether it trusts the shop's certificate: a picture is
 * what a page may load from elsewhere and be told whether it came.
 */
import type { Where } from './where.ts'

const PATIENCE_MS = 6_000

/** True when the picture at `address` came. */
function comes(address: string): Promise<boolean> {
  return new Promise((resolve) => {
    const picture = new Image()
    const timer = setTimeout(() => resolve(false), PATIENCE_MS)
    const end = (came: boolean) => () => {
      clearTimeout(timer)
      resolve(came)
    }
    picture.onload = end(true)
    picture.onerror = end(false)
    picture.referrerPolicy = 'no-referrer'
    // Not the one of the last time: what came then says nothing of now.
    picture.src = `${address}?at=${Date.now()}`
  })
}

export interface Seen {
  /** The name leads to the shop. */
  name: boolean
  /** This device's browser trusts the shop's certificate. */
  trusted: boolean
}

/**
 * A browser that has once been at the app comes to its name by https alone and asks for the plain picture in vain: the
 * trusted one shows as well that the name leads here.
 */
export async function look({ name, port, door_port }: Where): Promise<Seen> {
  const [plain, trusted] = await Promise.all([
    comes(`http://${name}:${door_port}/here.svg`),
    comes(`https://${name}:${port}/here.svg`),
  ])
  return { name: plain || trusted, trusted }
}
