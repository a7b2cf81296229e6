/**
 * Asks the brain about what is typed, the newest question last: while one is on its way only the latest
 * waits, so that a fast thumb never queues up behind its own keys.
 */
export class Latest<Question, Answer> {
  private running = false
  private waiting: Question | null = null

  constructor(
    private readonly work: (question: Question) => Promise<Answer>,
    private readonly done: (question: Question, answer: Answer) => void,
    private readonly failed: (failure: unknown) => void,
  ) {}

  ask(question: Question): void {
    this.waiting = question
    if (!this.running) void this.run()
  }

  private async run(): Promise<void> {
    this.running = true
    while (this.waiting !== null) {
      const question = this.waiting
      this.waiting = null
      await this.one(question)
    }
    this.running = false
  }

  private async one(question: Question): Promise<void> {
    try {
      this.done(question, await this.work(question))
    } catch (failure) {
      this.failed(failure)
    }
  }
}
