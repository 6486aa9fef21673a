// Sends dials while they turn: one request under way at a time, the newest wins,
// and never more often than the server can follow.
import { Refusal, turn } from "../wire/server";
import type { Values } from "./ledger";

/** ms between two requests: a drag gives about thirty pictures a second at most. */
const PAUSE = 33;

export class Sender {
  /** The number of the newest request. */
  seq = 0;
  private waiting: Values | null = null;
  private busy = false;

  constructor(private readonly failed: (refusal: Refusal | Error) => void) {}

  /** Something is under way or waits. */
  get active(): boolean {
    return this.busy;
  }

  /** Numbers of requests go on from what the server has seen. */
  seen(seq: number): void {
    this.seq = Math.max(this.seq, seq);
  }

  send(values: Values): void {
    this.waiting = values;
    if (!this.busy) void this.run();
  }

  private async run(): Promise<void> {
    this.busy = true;
    while (this.waiting) {
      const values = this.waiting;
      this.waiting = null;
      this.seq++;
      try {
        await turn(this.seq, values);
      } catch (error) {
        this.failed(error as Error);
      }
      await new Promise((done) => setTimeout(done, PAUSE));
    }
    this.busy = false;
  }
}
