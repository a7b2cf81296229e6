/**
 * Digits that come while a reading is still on its way to the disk: a gauge that types, or a quick thumb, is
 * already at the next place. They wait here and land there.
 */
export class Ahead {
  private text = ''
  private enter = false

  /** The box shows `typed`, of which `offered` is being kept: the rest is for the next place. */
  typed(typed: string, offered: string): void {
    this.text = typed.startsWith(offered) ? typed.slice(offered.length) : typed
  }

  change(by: (text: string) => string): void {
    this.text = by(this.text)
  }

  /** Next was pressed; it counts only where digits wait. */
  next(): void {
    this.enter = this.text !== ''
  }

  /** What waits, handed over once. */
  take(): { text: string; enter: boolean } {
    const waiting = { text: this.text, enter: this.enter }
    this.text = ''
    this.enter = false
    return waiting
  }
}
