/**
 * The door of a shop on its network, for tests: who is let in, by which key, under which cookie. One browser talks to it:
 * `cookie` is what that holds.
 */
import { createPublicKey, verify } from 'node:crypto'
import type { Push } from '../sync/wire.ts'

interface Known {
  key: string
  cutOff: boolean
}

const WORDS: Record<string, [number, string]> = {
  not_joined: [401, 'This device has not joined the shop.'],
  code_wrong: [401, 'This code or link is wrong.'],
  sign_in_needed: [401, 'Sign in first.'],
  cut_off: [403, 'The shop has cut this device off.'],
  other_device: [403, 'Another device.'],
  signature_wrong: [403, 'The shop could not prove it.'],
  device_taken: [409, 'Another key.'],
}

export function refusal(code: string): Response {
  const [status, message] = WORDS[code] ?? [400, code]
  return Response.json({ error: { code, message, details: {} } }, { status })
}

/** True when `signature` over `text` is by the private half of `key`. */
export function fits(key: string, signature: string, text: string): boolean {
  const der = Buffer.from(key, 'base64')
  const publicKey = createPublicKey({ key: der, format: 'der', type: 'spki' })
  const how = { key: publicKey, dsaEncoding: 'ieee-p1363' } as const
  return verify('sha256', Buffer.from(text), how, Buffer.from(signature, 'base64'))
}

export function signedText({ device, from_no, entries }: Push): string {
  return ['standbook batch 1', device, from_no, ...entries].join('\n')
}

/** What a stranger may ask. */
const OPEN = new Set(['/session', '/join', '/devices/challenge', '/devices/proof'])

export class FakeDoor {
  known = new Map<string, Known>()
  cookie: string | null = null
  /** Somebody is signed in on the browser. */
  person = false
  codes = new Set<string>()
  challenges = new Set<string>()
  /** Paths that were asked for, of this door's own. */
  asked: string[] = []

  /** The answer to a request that never gets to the book; null where it may. */
  meet(path: string, body: () => Record<string, string>): Response | null {
    if (!OPEN.has(path) && path !== '/join/desk' && this.here() === null && !this.person)
      return refusal('not_joined')
    const answer = this.ways[path]
    if (!answer) return null
    this.asked.push(path)
    return answer(body())
  }

  /** The device of the cookie. One that is cut off has none. */
  private here(): string | null {
    if (this.cookie === null || this.known.get(this.cookie)?.cutOff) return null
    return this.cookie
  }

  private ways: Record<string, (body: Record<string, string>) => Response> = {
    '/devices/challenge': () => {
      const challenge = `challenge ${this.challenges.size}`
      this.challenges.add(challenge)
      return Response.json({ challenge })
    },
    '/devices/proof': ({ device = '', challenge = '', signature = '' }) => {
      const known = this.known.get(device)
      const text = `standbook proof 1\n${device}\n${challenge}`
      const good = this.challenges.has(challenge) && known && fits(known.key, signature, text)
      if (!good) return refusal('not_joined')
      return known.cutOff ? refusal('cut_off') : this.letIn(device)
    },
    '/devices/renamed': ({ device = '', public_key = '' }) =>
      this.here() === null ? refusal('not_joined') : this.trust(device, public_key),
    '/join': ({ code = '', device = '', public_key = '' }) =>
      this.codes.has(code) ? this.trust(device, public_key) : refusal('code_wrong'),
    '/join/desk': ({ device = '', public_key = '' }) =>
      this.person ? this.trust(device, public_key) : refusal('sign_in_needed'),
  }

  private trust(device: string, key: string): Response {
    const known = this.known.get(device)
    if (known && known.key !== key) return refusal('device_taken')
    this.known.set(device, { key, cutOff: false })
    return this.letIn(device)
  }

  private letIn(device: string): Response {
    this.cookie = device
    return Response.json({ device, shop: { id: 's', name: 'A shop' } })
  }

  /** What is wrong with a push; null where nothing is. */
  refuses(push: Push): Response | null {
    const sender = push.carrier ?? push.device
    if (this.known.get(sender)?.cutOff) return refusal('cut_off')
    if (this.here() === null) return refusal('not_joined')
    if (this.here() !== sender) return refusal('other_device')
    const key = this.known.get(sender)?.key ?? ''
    return fits(key, push.signature ?? '', signedText(push)) ? null : refusal('signature_wrong')
  }
}
