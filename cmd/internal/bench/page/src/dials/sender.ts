// Sends dials while they turn: one request under way at a time, the newest wins,
// and never more often than the server can follow.
import { type Refusal, turn } from "../wire/server";
import type { Values } from "./ledger";

/** ms between two requests: a drag gives about thirty pictures a second at most. */
const PAUSE = 33;

export class Sender {
  /** The number of the newest request. */
  seq = 0;
  private wanted = false;
  private busy = false;
  /** The newest request that is known here, of whatever page, and that which has to be before more is sent. */
  private known = 0;
  private first = 0;

  constructor(
    /** What there is to send now: dials that differ from what is saved. */
    private readonly values: () => Values,
    private readonly failed: (refusal: Refusal | Error) => void,
  ) {}

  /** Numbers of requests go on from what was seen of the server, and is known here. */
  seen(seq: number): void {
    this.known = seq;
    this.seq = Math.max(this.seq, seq);
    void this.run();
  }

  /** Whether something was turned here after the request of that number. */
  ahead(seq: number): boolean {
    return this.wanted || this.seq > seq;
  }

  /** Sends what there is now, or will be when its turn comes. */
  send(): void {
    this.wanted = true;
    void this.run();
  }

  private async run(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    while (this.wanted && this.known >= this.first) {
      this.wanted = false;
      const seq = ++this.seq;
      try {
        const answer = await turn(seq, this.values());
        if (!answer.taken) {
          // Another page was quicker: what it turned has to be known before.
          this.wanted = true;
          this.first = answer.seq;
        }
      } catch (error) {
        this.seq = Math.max(this.known, seq - 1); // nobody will answer it
        this.failed(error as Error);
      }
      await new Promise((done) => setTimeout(done, PAUSE));
    }
    this.busy = false;
  }
}
