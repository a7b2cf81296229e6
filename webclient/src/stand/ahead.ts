/**
 * Digits that come while a reading is still on its way to the disk: a gauge that types, or a quick thumb, is
 * already at the next place, or at the one after. They wait here, value by value, and land there.
 */
export class Ahead {
  private done: string[] = []
  private typing = ''

  change(by: (text: string) => string): void {
    this.typing = by(this.typing)
  }

  /** Next was pressed: what was typed so far is one value, the following digits are another. */
  next(): void {
    if (this.typing !== '') this.done.push(this.typing)
    this.typing = ''
  }

  /** The value that comes next, handed over once; `enter`: Next was pressed for it already. */
  take(): { text: string; enter: boolean } {
    const first = this.done.shift()
    if (first !== undefined) return { text: first, enter: true }
    const text = this.typing
    this.typing = ''
    return { text, enter: false }
  }

  /** A question came between: nobody knows any more which place the digits were for. */
  forget(): void {
    this.done = []
    this.typing = ''
  }
}
