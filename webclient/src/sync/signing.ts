/** What this device's key says of a batch: that these entries, in this order, came from here. */
import { deviceKey } from '../store/index.ts'
import type { Push } from './wire.ts'

/** The signature by the key of who sends it; empty where this browser has no key. */
export async function signatureOf(push: Push): Promise<string> {
  const key = await deviceKey(push.carrier ?? push.device)
  const texts = push.entries.join('\n')
  const signed = key?.sign(`standbook batch 1\n${push.device}\n${push.from_no}\n${texts}`)
  return (await signed?.catch(() => '')) ?? ''
}
