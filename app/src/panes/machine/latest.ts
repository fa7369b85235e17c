// At most one request under way; of those asked for meanwhile only the newest is made.

/** Latest runs one task at a time and drops all but the newest of those that wait. */
export class Latest {
  private running = false;
  private waiting: (() => Promise<void>) | null = null;
  private turn = 0;

  /**
   * ask makes a request when its turn comes. took gets the answer; it is not
   * called for one that was dropped, nor after stop.
   */
  ask<T>(request: () => Promise<T>, took: (answer: T) => void, failed: (why: unknown) => void = () => {}): void {
    const turn = this.turn;
    const task = async () => {
      try {
        const answer = await request();
        if (turn === this.turn) took(answer);
      } catch (why) {
        if (turn === this.turn) failed(why);
      }
    };
    if (this.running) this.waiting = task;
    else void this.run(task);
  }

  /** stop forgets what waits, and the answer that is under way. */
  stop(): void {
    this.waiting = null;
    this.turn++;
  }

  private async run(first: () => Promise<void>): Promise<void> {
    this.running = true;
    let task: (() => Promise<void>) | null = first;
    while (task) {
      await task();
      task = this.waiting;
      this.waiting = null;
    }
    this.running = false;
  }
}
