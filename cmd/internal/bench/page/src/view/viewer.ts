// The picture as a whole: what is shown of the model, and how.
import { Box3, type Color, Matrix4, Mesh, Vector3 } from "three";
import type { Model, Walls } from "../wire/container";
import { Cut } from "./cut";
import { Exhibit, type Shown } from "./exhibit";
import { Gaze } from "./gaze";
import { ears, ghost, layOver, type Tracing } from "./ghost";
import { Marks } from "./marks";
import { free, type Spot, under } from "./pointing";
import { Stage } from "./stage";

/** ms without another model, or dials are being turned. */
const MOMENT = 400;

export class Viewer {
  readonly stage: Stage;
  readonly gaze: Gaze;
  readonly marks: Marks;
  readonly cut = new Cut();
  private exhibit: Exhibit | null = null;
  private tracing: Tracing | null = null;
  private hanging: Matrix4 | null = null;
  private walls: Walls | null = null;
  private timer = 0;
  /** What was made lighter last. */
  private lightened: Exhibit | null = null;
  private shown: Shown = { stones: true, casting: "", pair: false };

  constructor(canvas: HTMLCanvasElement, overlay: SVGElement) {
    this.stage = new Stage(canvas);
    this.gaze = new Gaze(this.stage);
    this.marks = new Marks(this.stage, overlay);
    this.stage.piece.matrixAutoUpdate = false;
    this.stage.piece.add(this.cut.group);
    this.stage.onSlow((moving) => this.lighten(moving));
  }

  /** The model that is shown. */
  get model(): Model | null {
    return this.exhibit?.model ?? null;
  }

  /** Shows a model in place of the last; the eye stays where it is, unless the model
   * no longer fits and no hand has changed the view. */
  show(model: Model): void {
    const first = !this.exhibit;
    if (this.exhibit) {
      this.stage.piece.remove(this.exhibit.group);
      this.exhibit.dispose();
    }
    this.exhibit = new Exhibit(model, this.cut);
    this.stage.piece.add(this.exhibit.group);
    this.walls = null;
    this.arrange();
    if (first) this.gaze.view("quarter", true);
    else this.gaze.refit();
  }

  /** Colours walls; of another model than the one shown: nothing happens. */
  paint(walls: Walls | null): void {
    if (walls && walls.id !== this.model?.id) return;
    if (walls === this.walls) return;
    this.walls = walls;
    this.exhibit?.paint(walls);
    this.stage.ask();
  }

  /** Shows or hides stones and the other ear; one casting alone or ("") all. */
  select(shown: Partial<Shown>): void {
    this.shown = { ...this.shown, ...shown };
    this.arrange();
  }

  /** Lays a model over as a tracing; null takes it away. */
  trace(model: Model | null, ink: Color): void {
    if (this.tracing && this.tracing.id === model?.id) return;
    if (this.tracing) {
      for (const ear of ears(this.tracing)) this.stage.piece.remove(ear);
      for (const child of this.tracing.first.children) (child as Mesh).geometry.dispose();
    }
    this.tracing = model && ghost(model, ink);
    if (this.tracing) this.stage.piece.add(...ears(this.tracing));
    this.arrange();
  }

  /** Shows the piece as it hangs; null: as it is drawn. */
  hang(matrix: number[] | null): void {
    this.hanging = matrix && new Matrix4().fromArray(matrix);
    this.arrange();
  }

  /** Tells that the cut has other choices. */
  recut(): void {
    this.stage.stir();
    this.arrange();
  }

  /** What lies under a point of the canvas. */
  under(x: number, y: number): Spot | null {
    return this.exhibit && under(this.stage, this.exhibit, this.cut, x, y);
  }

  /** Flies to a place of the piece, to a side from which it can be seen. */
  flyTo(place: Vector3): void {
    const frame = this.stage.piece.matrixWorld;
    const turn = new Matrix4().extractRotation(frame).invert();
    const sides = [this.gaze.direction, ...OUTLOOKS.map(([x, y, z]) => new Vector3(x, y, z).normalize())];
    const open = sides.find((side) => this.exhibit && free(this.exhibit, place, side.clone().applyMatrix4(turn)));
    const round = Math.min(this.stage.radius, Math.max(3, this.stage.radius / 3));
    this.gaze.visit(place.clone().applyMatrix4(frame), open ?? sides[0]!, round);
  }

  /** Makes the piece lighter to draw: at once while it moves, else when no other model has come for a moment. */
  private lighten(moving: boolean): void {
    const { exhibit } = this;
    if (!exhibit || exhibit === this.lightened) return;
    clearTimeout(this.timer);
    const begin = () => {
      if (exhibit !== this.exhibit) return;
      this.lightened = exhibit;
      const work = exhibit.lighten();
      const step = () => {
        if (exhibit === this.exhibit && !work.next().done) setTimeout(step);
      };
      step();
    };
    if (moving) begin();
    else this.timer = setTimeout(begin, MOMENT);
  }

  /** Puts everything where it belongs after a change. */
  private arrange(): void {
    const { piece } = this.stage;
    piece.matrix.copy(this.hanging ?? new Matrix4());
    piece.updateMatrixWorld(true);
    if (this.exhibit) {
      this.exhibit.show(this.shown, piece.matrix);
      const { min, max } = this.exhibit.model;
      const box = new Box3(new Vector3(...min), new Vector3(...max));
      if (this.exhibit.other) box.union(box.clone().applyMatrix4(this.exhibit.other));
      const { min: low, max: high } = box;
      const middle = box.getCenter(new Vector3());
      const radius = Math.max(low.distanceTo(high) / 2, 1);
      const center = middle.clone().applyMatrix4(piece.matrixWorld);
      this.stage.radius = radius;
      this.stage.center.copy(center);
      this.stage.corners = [0, 1, 2, 3, 4, 5, 6, 7].map((i) =>
        new Vector3(i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z).applyMatrix4(piece.matrixWorld),
      );
      this.cut.place(piece.matrixWorld, middle, radius);
    }
    if (this.tracing) layOver(this.tracing, this.shown.casting, this.exhibit?.other ?? null);
    this.stage.ask();
  }
}

/** Directions from which a place may be looked at, the most natural first. */
const OUTLOOKS: [number, number, number][] = [
  [0.5, 0.4, 1],
  [-0.5, 0.4, 1],
  [0.3, -0.5, 1],
  [0, 0, 1],
  [0.5, 0.4, -1],
  [-0.5, 0.4, -1],
  [0, 0, -1],
  [1, 0.2, 0.1],
  [-1, 0.2, 0.1],
  [0.1, 1, 0.1],
  [0.1, -1, 0.1],
];
