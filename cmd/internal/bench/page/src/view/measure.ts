// Measuring: between two points, or straight through a wall at one.
import type { Vector3 } from "three";
import type { Marks } from "./marks";
import { across, acrossCut, onEar, type Spot } from "./pointing";
import { type Hold, snap } from "./snap";

export type Way = "off" | "points" | "wall";

export class Measure {
  private mode: Way = "off";
  private first: { point: Vector3; on: Hold } | null = null;

  constructor(
    private readonly marks: Marks,
    /** How far a point may be drawn to a corner or an edge, mm. */
    private readonly reach: () => number,
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
    if (this.mode === "points") this.points(spot, snap(spot, this.reach()));
  }

  private wall(spot: Spot): void {
    const far = spot.onCut ? null : across(spot);
    const ends = spot.onCut ? acrossCut(spot) : far && ([spot.point, far] as const);
    if (!ends) {
      this.say("No wall there: choose a place on the metal.");
      return;
    }
    const mm = ends[0].distanceTo(ends[1]);
    this.marks.measure({ from: onEar(spot, ends[0]), to: onEar(spot, ends[1]), text: `${mm.toFixed(2)} mm` });
    const where = spot.onCut ? "across the wall where it is cut" : "across the wall";
    this.say(`${mm.toFixed(2)} mm ${where}${spot.owner.name ? `, ${spot.owner.name}` : ""}`);
  }

  private points(spot: Spot, { point: near, on: hold }: { point: Vector3; on: Hold }): void {
    const point = onEar(spot, near);
    if (!this.first) {
      this.first = { point, on: hold };
      this.marks.measure({ from: point, to: null, text: "" });
      this.say(`First point ${ON[hold]}. Now the second.`);
      return;
    }
    const { point: a, on } = this.first;
    const mm = a.distanceTo(point);
    this.first = null;
    this.marks.measure({ from: a, to: point, text: `${mm.toFixed(2)} mm` });
    const [x, y, z] = [point.x - a.x, point.y - a.y, point.z - a.z].map((d) => Math.abs(d).toFixed(2));
    this.say(`${mm.toFixed(2)} mm straight, from ${NAME[on]} to ${NAME[hold]} (${x} across, ${y} up, ${z} deep)`);
  }
}

const ON: Record<Hold, string> = { corner: "in a corner", edge: "on an edge", face: "on a face" };
const NAME: Record<Hold, string> = { corner: "a corner", edge: "an edge", face: "a face" };
