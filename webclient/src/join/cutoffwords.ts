/** What a device that was cut off still has, in words. */
import { counted } from '../parts/counted.ts'

interface Here {
  unsent: number
  carried: number
  photos: number
}

export function unsentHere({ unsent, carried, photos }: Here): string {
  const entries = unsent + carried
  if (entries + photos === 0) return 'The shop has everything that was recorded here.'
  return `Here only: ${counted(entries, photos)}. Nothing of it is lost: write it to a file below, and bring the file to the desk.`
}
