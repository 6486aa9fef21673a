// Measuring: between two points, or straight through a wall at one.
import type { Vector3 } from "three";
import type { Marks } from "./marks";
import { across, type Spot } from "./pointing";

export type Way = "off" | "points" | "wall";

export class Measure {
  private mode: Way = "off";
  private first: Vector3 | null = null;

  constructor(
    private readonly marks: Marks,
    /** Says in words what was found or what to do next. */
    private readonly say: (words: string) => void,
  ) {}

  get way(): Way {
    return this.mode;
  }

  set way(way: Way) {
    this.mode = way;
    this.clear();
  }

  /** Forgets what was measured. */
  clear(): void {
    this.first = null;
    this.marks.measure(null);
    this.say(
      this.mode === "points" ? "Choose the first of two points." : this.mode === "wall" ? "Choose a place on a wall." : "",
    );
  }

  /** Takes a place that was chosen on the piece. */
  choose(spot: Spot): void {
    if (this.mode === "wall") this.wall(spot);
    if (this.mode === "points") this.points(spot.point);
  }

  private wall(spot: Spot): void {
    const out = spot.onCut ? null : across(spot);
    if (!out) {
      this.say("No wall there: choose a place on the outside.");
      return;
    }
    const mm = out.distanceTo(spot.point);
    this.marks.measure({ from: spot.point, to: out, text: `${mm.toFixed(2)} mm` });
    this.say(`${mm.toFixed(2)} mm across the wall${spot.owner.name ? `, ${spot.owner.name}` : ""}`);
  }

  private points(point: Vector3): void {
    if (!this.first) {
      this.first = point.clone();
      this.marks.measure({ from: point, to: null, text: "" });
      this.say("Now the second point.");
      return;
    }
    const a = this.first;
    const mm = a.distanceTo(point);
    this.first = null;
    this.marks.measure({ from: a, to: point, text: `${mm.toFixed(2)} mm` });
    const [x, y, z] = [point.x - a.x, point.y - a.y, point.z - a.z].map((d) => Math.abs(d).toFixed(2));
    this.say(`${mm.toFixed(2)} mm straight (${x} across, ${y} up, ${z} deep)`);
  }
}
