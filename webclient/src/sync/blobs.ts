/** Texts that entries name by hash: sent after them, fetched when the brain wants one (LG13). */
import { blobsToSend, blobText, keepBlob, markUploaded, sha256 } from '../store/index.ts'
import { NoContact, ServerFailure } from './failure.ts'
import { request, textAt } from './http.ts'

/** Somebody else in the network may say yes to anything: only the shop's own words name what it has kept. */
async function send({ sha256, text }: { sha256: string; text: string }): Promise<void> {
  const { body } = await request<{ sha256: string }>(`/blobs/${sha256}`, {
    method: 'PUT',
    raw: text,
  })
  if (body?.sha256 !== sha256) throw new NoContact('not_the_shop')
}

/** Sends every blob that the server has not confirmed. */
export async function sendBlobs(): Promise<void> {
  for (const blob of await blobsToSend()) {
    await send(blob)
    await markUploaded(blob.sha256)
  }
}

/** The text with this hash, from here or from the shop; null when neither has it. */
export async function fetchBlob(hash: string): Promise<string | null> {
  const here = await blobText(hash)
  if (here !== null) return here
  const text = await textAt(`/blobs/${hash}`)
  if (text === null) return null
  if ((await sha256(text)) !== hash) {
    throw new ServerFailure(
      200,
      'hash_mismatch',
      'The shop’s copy of a table is damaged. Tell the lead.',
    )
  }
  await keepBlob(hash, text)
  return text
}
