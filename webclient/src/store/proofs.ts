/** Proofs beside entries that are here already: somebody gives a PIN later than the signature. */
import { read, type Writing, write } from './connection.ts'
import type { CarriedRow, EntryProof, OwnRow } from './schema.ts'

/** An entry of this device (`device` null), or one that it carries for another. */
export interface Which {
  device: string | null
  device_no: number
}

type Table = 'own' | 'carried'

/** The row; null where it is not here any more. */
export async function rowAt({ device, device_no }: Which): Promise<OwnRow | null> {
  const row = await read<Table, OwnRow | undefined>(['own', 'carried'], (tx) =>
    device === null
      ? tx.objectStore('own').get(device_no)
      : tx.objectStore('carried').get([device, device_no]),
  )
  return row ?? null
}

async function putOne(tx: Writing<Table>, which: Which, proof: EntryProof): Promise<void> {
  const { device, device_no } = which
  if (device === null) {
    const row = await tx.objectStore('own').get(device_no)
    if (row) await tx.objectStore('own').put({ ...row, proof })
    return
  }
  const row: CarriedRow | undefined = await tx.objectStore('carried').get([device, device_no])
  if (row) await tx.objectStore('carried').put({ ...row, proof })
}

/** Puts proofs beside their entries, all or none. */
export function putProofs(proofs: { which: Which; proof: EntryProof }[]): Promise<void> {
  return write(['own', 'carried'], async (tx) => {
    for (const { which, proof } of proofs) await putOne(tx, which, proof)
  })
}
