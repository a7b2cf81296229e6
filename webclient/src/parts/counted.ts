/** "1 entry", "3 entries and 1 picture". */
export function counted(entries: number, photos: number): string {
  const words = entries === 1 ? '1 entry' : `${entries} entries`
  if (photos === 0) return words
  return `${words} and ${photos === 1 ? '1 picture' : `${photos} pictures`}`
}
