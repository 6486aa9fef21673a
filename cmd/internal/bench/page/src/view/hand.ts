// The hand on the drawing: a pointer that hovers or chooses, and the cross in the
// middle that keys choose with.
import { find, write } from "../dom";
import { speak } from "../sheet/notices";
import type { Measure } from "./measure";
import type { Spot } from "./pointing";
import type { Viewer } from "./viewer";

/** CSS pixels that a hand may tremble while it chooses. */
const TREMBLE = 5;

export class Hand {
  private readonly part = find("part");
  private down: { x: number; y: number } | null = null;
  private hover: { x: number; y: number } | null = null;
  private asked = false;

  constructor(
    private readonly viewer: Viewer,
    private readonly measure: Measure,
  ) {
    const { canvas } = viewer.stage;
    canvas.addEventListener("pointerdown", (event) => {
      this.down = event.isPrimary ? at(event) : null;
    });
    canvas.addEventListener("pointerup", (event) => {
      const up = at(event);
      if (this.down && Math.hypot(up.x - this.down.x, up.y - this.down.y) <= TREMBLE) this.choose(up);
      this.down = null;
    });
    canvas.addEventListener("pointermove", (event) => {
      if (event.buttons) return;
      this.hover = at(event);
      this.look();
    });
    canvas.addEventListener("pointerleave", () => {
      this.hover = null;
      write(this.part, "");
    });
  }

  /** Names what lies under the cross. */
  name(): void {
    const words = describe(this.middle());
    write(this.part, words);
    speak(words || "nothing under the cross");
  }

  /** Chooses what lies under the cross, for measuring. */
  press(): void {
    const spot = this.middle();
    if (spot && this.measure.way !== "off") this.measure.choose(spot);
    else this.name();
  }

  private middle(): Spot | null {
    const { clientWidth, clientHeight } = this.viewer.stage.canvas;
    return this.viewer.under(clientWidth / 2, clientHeight / 2);
  }

  private choose({ x, y }: { x: number; y: number }): void {
    const spot = this.viewer.under(x, y);
    write(this.part, describe(spot));
    if (spot && this.measure.way !== "off") this.measure.choose(spot);
  }

  /** Names what is under the pointer, once a frame at most. */
  private look(): void {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => {
      this.asked = false;
      if (this.hover) write(this.part, describe(this.viewer.under(this.hover.x, this.hover.y)));
    });
  }
}

function at(event: PointerEvent): { x: number; y: number } {
  return { x: event.offsetX, y: event.offsetY };
}

/** "bezel.heart, line 57". */
function describe(spot: Spot | null): string {
  if (!spot) return "";
  const { name, line } = spot.owner;
  if (!name) return spot.casting.name;
  return line ? `${name}, line ${line}` : name;
}
