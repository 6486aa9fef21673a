// Where one looks from: hand, keys, views by name, and flights between them.
import { Matrix4, Spherical, Vector3 } from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { calm } from "../dom";
import type { Stage } from "./stage";

export type Side = "front" | "back" | "side" | "top" | "quarter";

/** From where each view by name looks; x right, y up, z to the viewer. */
const FROM: Record<Side, [number, number, number]> = {
  front: [0, 0, 1],
  back: [0, 0, -1],
  side: [1, 0, 0],
  top: [0, 1, 0],
  quarter: [0.62, 0.42, 0.85],
};

/** ms that a flight takes. */
const FLIGHT = 420;
/** Room round a piece that is fitted into the view. */
const ROOM = 1.12;

export class Gaze {
  private readonly controls: OrbitControls;
  /** The side from which the whole is shown, until a hand changes the view. */
  private side: Side | null = null;
  private flight: { frame: number; target: Vector3; end: Spherical } | null = null;

  constructor(private readonly stage: Stage) {
    this.controls = new OrbitControls(stage.camera, stage.canvas);
    this.controls.enableDamping = false;
    this.controls.zoomSpeed = 1.2;
    this.controls.screenSpacePanning = true;
    this.controls.addEventListener("change", () => stage.stir());
    this.controls.addEventListener("start", () => {
      this.stop();
      this.side = null;
      stage.hold(true);
    });
    this.controls.addEventListener("end", () => stage.hold(false));
    stage.onShape(() => {
      if (this.side) this.view(this.side, true);
    });
  }

  /** The direction from the target to the eye. */
  get direction(): Vector3 {
    return this.stage.camera.position.clone().sub(this.controls.target).normalize();
  }

  /** mm from the eye to what it looks at. */
  get distance(): number {
    return this.stage.camera.position.distanceTo(this.controls.target);
  }

  /** Shows the whole piece from a side; at once where nothing is shown yet. */
  view(side: Side, atOnce = false): void {
    const direction = new Vector3(...FROM[side]).normalize();
    this.go(this.stage.center.clone(), direction, this.framing(direction), atOnce);
    this.side = side;
  }

  /** Shows the whole again where it has outgrown the view that a hand has left alone. */
  refit(): void {
    if (!this.side) return;
    const apart = this.stage.center.distanceTo(this.controls.target);
    if (this.framing(this.direction) + apart > ROOM * this.distance) this.view(this.side);
  }

  /** Shows a place from a direction, with so many mm of metal round it. */
  visit(place: Vector3, direction: Vector3, round: number): void {
    this.side = null;
    this.go(place, direction, Math.min(this.fitting(round), this.fitting()), false);
  }

  /** Turns by degrees, left and up. */
  turn(left: number, up: number): void {
    this.arrive();
    const s = this.spherical();
    s.theta -= (left * Math.PI) / 180;
    s.phi -= (up * Math.PI) / 180;
    this.put(this.controls.target, s);
    this.side = null;
  }

  /** Moves over the canvas by shares of its height, right and up. */
  pan(right: number, up: number): void {
    this.arrive();
    const height = this.stage.canvas.clientHeight / this.stage.scale(this.distance);
    const move = new Vector3(right * height, up * height, 0).applyQuaternion(this.stage.camera.quaternion);
    this.put(this.controls.target.clone().add(move), this.spherical());
    this.side = null;
  }

  /** Comes nearer: half the distance for 2. */
  zoom(by: number): void {
    this.arrive();
    const s = this.spherical();
    s.radius /= by;
    this.put(this.controls.target, s);
    this.side = null;
  }

  /** Distance from which the box of the piece just fits, seen from a direction. */
  private framing(direction: Vector3): number {
    const { fov, aspect } = this.stage.camera;
    const up = Math.tan((fov * Math.PI) / 360) / ROOM;
    const turn = new Matrix4().lookAt(direction, new Vector3(), new Vector3(0, 1, 0)).invert();
    return Math.max(
      ...this.stage.corners.map((corner) => {
        const p = corner.clone().sub(this.stage.center).applyMatrix4(turn);
        return p.z + Math.max(Math.abs(p.y) / up, Math.abs(p.x) / (up * aspect));
      }),
    );
  }

  /** Distance from which a radius fits the narrower way of the canvas. */
  private fitting(radius = this.stage.radius): number {
    const { fov, aspect } = this.stage.camera;
    const half = (fov * Math.PI) / 360;
    const narrow = Math.min(half, Math.atan(Math.tan(half) * aspect));
    return (ROOM * radius) / Math.sin(narrow);
  }

  private go(target: Vector3, direction: Vector3, distance: number, atOnce: boolean): void {
    this.stop();
    const end = new Spherical().setFromVector3(direction.clone().multiplyScalar(distance)).makeSafe();
    if (atOnce || calm()) {
      this.put(target, end);
      return;
    }
    const start = this.spherical();
    const from = this.controls.target.clone();
    const round = 2 * Math.PI;
    let turn = (end.theta - start.theta) % round;
    if (turn > Math.PI) turn -= round;
    if (turn < -Math.PI) turn += round;
    const began = performance.now();
    const step = () => {
      const t = Math.min(1, (performance.now() - began) / FLIGHT);
      const ease = t * t * (3 - 2 * t);
      const s = new Spherical(
        start.radius + ease * (end.radius - start.radius),
        start.phi + ease * (end.phi - start.phi),
        start.theta + ease * turn,
      );
      this.put(from.clone().lerp(target, ease), s);
      this.flight = t < 1 ? { frame: requestAnimationFrame(step), target, end } : null;
    };
    this.flight = { frame: requestAnimationFrame(step), target, end };
  }

  private stop(): void {
    if (this.flight) cancelAnimationFrame(this.flight.frame);
    this.flight = null;
  }

  /** Arrives at once, for what begins where a flight would have ended. */
  private arrive(): void {
    const flight = this.flight;
    this.stop();
    if (flight) this.put(flight.target, flight.end);
  }

  private spherical(): Spherical {
    return new Spherical().setFromVector3(this.stage.camera.position.clone().sub(this.controls.target));
  }

  private put(target: Vector3, s: Spherical): void {
    s.radius = Math.min(12 * this.stage.radius, Math.max(1.5, s.radius));
    s.makeSafe();
    this.controls.target.copy(target);
    this.stage.camera.position.setFromSpherical(s).add(target);
    this.controls.update();
    this.stage.stir();
  }
}
