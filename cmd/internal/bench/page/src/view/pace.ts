// Keeps motion smooth where drawing is slow: while frames follow each other the
// picture gets as coarse as it has to, and sharp again as soon as it rests.

/** ms between frames: more is jerky, less leaves room for a sharper picture. */
const JERKY = 60;
const EASY = 24;
/** ms after which frames no longer belong to one motion. */
const REST = 350;
/** The coarsest, as a share of full resolution. */
const LEAST = 0.35;

export class Pace {
  private share = 1;
  private last = Number.NEGATIVE_INFINITY;
  private timer = 0;

  constructor(
    /** Draws again, when motion has ended. */
    private readonly sharpen: () => void,
  ) {}

  /** The share of full resolution that the frame of this moment may have. */
  next(now: number): number {
    const gap = now - this.last;
    this.last = now;
    clearTimeout(this.timer);
    if (gap > REST + JERKY) return 1;
    if (gap > JERKY) this.share = Math.max(LEAST, this.share * 0.75);
    else if (gap < EASY) this.share = Math.min(1, this.share * 1.1);
    if (this.share < 1) this.timer = setTimeout(() => this.rest(), REST);
    return this.share;
  }

  private rest(): void {
    this.last = Number.NEGATIVE_INFINITY;
    this.sharpen();
  }
}
