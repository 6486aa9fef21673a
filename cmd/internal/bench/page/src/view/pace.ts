// How each frame is drawn. Where the card is quick: always exactly, straight on the
// canvas. Where it is not: lightly while the piece moves, as coarse as it has to be,
// and exactly again as soon as it rests. What moves is told by the hand (stir,
// hold), and how long a frame takes by the card (drawn), never by gaps between
// frames.

/** ms that an exact frame takes from which on it is slow. */
const SLOW = 70;
/** ms that a light frame may take: more is jerky, less leaves room for a sharper one. */
const JERKY = 100;
const EASY = 55;
/** ms after a frame of a motion until the piece rests. */
const REST = 250;
/** The coarsest light frame, as a share of full resolution. */
const LEAST = 0.5;
/** From one frame to the next it gets coarser so much; the time it takes must get shorter by so much, or it was in vain. */
const STEP = 0.75;
const GAIN = 0.85;

/**
 * exact: straight on the canvas, whose edges the card smooths. fine: exact, too, but
 * on a sheet with more pixels than the canvas, which smooths edges at a fraction of
 * the cost where triangles are small. light: with stand-ins on a sheet with fewer.
 */
export type Manner = "exact" | "fine" | "light";

export class Pace {
  /** Of a light frame, as a share of full resolution. */
  share = 1;
  /** Triangles from which on exact frames are slow here, as far as is known. */
  private slowFrom = Number.POSITIVE_INFINITY;
  /** The last frame was exact and slow: perhaps it was not the card. */
  private doubt = false;
  /** The coarsest share that is of use in this motion, and ms that the frame took after which it got coarser; else 0. */
  private least = LEAST;
  private before = 0;
  private moving = false;
  private held = false;
  /** No frame was begun since something moved last; the last that was begun is light. */
  private stirred = false;
  private light = false;
  private timer = 0;

  constructor(
    /** Draws again: because motion has ended, or for a second measure. */
    private readonly again: () => void,
  ) {}

  /** Something moves in the frame to come. */
  stir(): void {
    this.moving = this.stirred = true;
    clearTimeout(this.timer);
  }

  /** A hand takes hold of the piece or lets it go: held it moves, even if the hand pauses. */
  hold(held: boolean): void {
    this.held = held;
    this.moving ||= held;
    this.settle();
  }

  /** Whether exact frames of so many triangles are slow. */
  slow(triangles: number): boolean {
    return triangles >= this.slowFrom;
  }

  /** How the next frame is drawn, which has so many triangles if exact. */
  next(triangles: number): Manner {
    const plain = this.slow(triangles) || this.doubt;
    this.light = plain && this.moving && !this.doubt;
    this.stirred = false;
    if (!plain) return "exact";
    return this.light ? "light" : "fine";
  }

  /** A frame was drawn: how, how many triangles it has if exact, and how many ms it took at least and at most. */
  drawn(manner: Manner, triangles: number, least: number, most: number): void {
    if (manner === "light") {
      this.adapt(least, most);
    } else {
      this.least = LEAST;
      if (triangles > 0) this.judge(manner, triangles, least, most);
    }
    this.settle();
  }

  /** Learns from a light frame how coarse the next one has to be. */
  private adapt(least: number, most: number): void {
    const { before } = this;
    this.before = 0;
    if (before > 0 && least > GAIN * before) {
      this.share /= STEP;
      this.least = this.share;
    } else if (least > JERKY && STEP * this.share >= this.least) {
      this.before = least;
      this.share *= STEP;
    } else if (most < EASY) {
      this.share = Math.min(1, 1.1 * this.share);
    }
  }

  /**
   * Learns from a frame that is not light. One that is slow for the first time is
   * drawn again, finely: shaders and meshes may have been new.
   */
  private judge(manner: Manner, triangles: number, least: number, most: number): void {
    if (this.doubt && least > SLOW) this.slowFrom = Math.min(this.slowFrom, triangles);
    // It was not the card, but work of the moment beside it.
    if (manner === "fine" && most < SLOW / 2) this.slowFrom = Number.POSITIVE_INFINITY;
    this.doubt = manner === "exact" && least > SLOW;
    if (this.doubt) this.again();
  }

  /** Waits for rest. */
  private settle(): void {
    clearTimeout(this.timer);
    if (!this.moving || this.held || this.stirred) return;
    this.timer = setTimeout(() => {
      this.moving = false;
      if (this.light) this.again();
    }, REST);
  }
}
