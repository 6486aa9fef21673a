// What lies under a point of the canvas: which casting, whose metal, where.
import { type Matrix4, Vector3 } from "three";
import type { Casting, Owner } from "../wire/container";
import type { Cut } from "./cut";
import type { Exhibit } from "./exhibit";
import { faceNormals } from "./creases";
import { firstHit, type Ray } from "./ray";
import type { Stage } from "./stage";

/** A place on a casting, in the casting's own frame, which is that of the first ear. */
export interface Spot {
  point: Vector3;
  /** Of the face there, outwards. */
  normal: Vector3;
  casting: Casting;
  /** Takes it to the ear of a pair that it was met on; null: the first. */
  ear: Matrix4 | null;
  owner: Owner;
  /** It lies on the face of a cut. */
  onCut: boolean;
}

/** Finds what lies under a point of the canvas, CSS pixels from its corner. */
export function under(stage: Stage, exhibit: Exhibit, cut: Cut, x: number, y: number): Spot | null {
  const { clientWidth, clientHeight } = stage.canvas;
  stage.camera.updateMatrixWorld(); // it may have moved since the last frame
  const far = new Vector3((2 * x) / clientWidth - 1, 1 - (2 * y) / clientHeight, 0.5).unproject(stage.camera);
  const inverse = stage.piece.matrixWorld.clone().invert();
  const origin = stage.camera.position.clone().applyMatrix4(inverse);
  const direction = far.applyMatrix4(inverse).sub(origin).normalize();
  const ray = { origin, direction };
  const first = along(exhibit, cut, ray, null);
  if (!exhibit.other) return first;
  const there = seenFrom(exhibit.other, ray);
  const second = along(exhibit, cut, there, exhibit.other.clone());
  if (!first || !second) return first ?? second;
  return second.point.distanceTo(there.origin) < first.point.distanceTo(origin) ? second : first;
}

/** mm: metal this near to a place does not hide it; a remark may lie inside a wall. */
const NEARBY = 0.4;

/** Whether a place of the first ear can be seen from a direction. */
export function free(exhibit: Exhibit, place: Vector3, direction: Vector3): boolean {
  const ray = { origin: place, direction };
  const rays = exhibit.other ? [ray, seenFrom(exhibit.other, ray)] : [ray];
  return rays.every((way) => exhibit.visible.every((casting) => !firstHit(casting, way, NEARBY)));
}

/** A ray as it meets the first ear where it meets the other one: perhaps mirrored, never stretched, so that distances stay. */
function seenFrom(other: Matrix4, { origin, direction }: { origin: Vector3; direction: Vector3 }): { origin: Vector3; direction: Vector3 } {
  const back = other.clone().invert();
  return { origin: origin.clone().applyMatrix4(back), direction: direction.clone().transformDirection(back) };
}

/** A point of the frame of a spot, as it lies in the piece's frame. */
export function onEar(spot: Spot, point: Vector3): Vector3 {
  return spot.ear ? point.clone().applyMatrix4(spot.ear) : point.clone();
}

function along(exhibit: Exhibit, cut: Cut, ray: { origin: Vector3; direction: Vector3 }, ear: Matrix4 | null): Spot | null {
  // Where the ray comes out of what is cut away; all before that is air.
  const begin = entrance(cut, ray);
  let best: Spot | null = null;
  let nearest = Number.POSITIVE_INFINITY;
  for (const casting of exhibit.visible) {
    const hit = firstHit(casting, ray, begin);
    if (!hit) continue;
    // The first thing met is the way out: the cut plane lies inside the metal.
    const onCut = cut.on && hit.leaving && begin > 0;
    const distance = onCut ? begin : hit.distance;
    const point = ray.direction.clone().multiplyScalar(distance).add(ray.origin);
    if (distance >= nearest || (!onCut && gone(cut, point))) continue;
    nearest = distance;
    best = {
      point,
      normal: onCut ? cut.plane.normal.clone().negate() : normalAt(casting, hit.triangle),
      casting,
      ear,
      owner: exhibit.model.owners[casting.owners[hit.triangle] ?? 0] ?? { name: "", line: 0, column: 0 },
      onCut,
    };
  }
  return best;
}

function entrance(cut: Cut, ray: { origin: Vector3; direction: Vector3 }): number {
  if (!cut.on) return 0;
  const slope = cut.plane.normal.dot(ray.direction);
  const start = cut.plane.distanceToPoint(ray.origin);
  return start < 0 && slope > 0 ? -start / slope : 0;
}

function gone(cut: Cut, point: Vector3): boolean {
  return cut.on && cut.gone(point);
}

function normalAt(casting: Casting, triangle: number): Vector3 {
  const three = casting.indices.subarray(3 * triangle, 3 * triangle + 3);
  const [x, y, z] = faceNormals({ positions: casting.positions, indices: three });
  return new Vector3(x, y, z);
}

/** mm: a start this far inside keeps a ray from meeting the face it starts on. */
const SKIN = 1e-4;

/** Directions tried along the face of a cut, over half a turn. */
const DIRECTIONS = 90;

/** The two sides of the metal at a spot on the face of a cut, where they are nearest. */
export function acrossCut(spot: Spot): [Vector3, Vector3] | null {
  const u = new Vector3(1, 0, 0);
  if (Math.abs(spot.normal.x) > 0.7) u.set(0, 1, 0);
  u.cross(spot.normal).normalize();
  const v = spot.normal.clone().cross(u);
  let best: [Vector3, Vector3] | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < DIRECTIONS; i++) {
    const angle = (Math.PI * i) / DIRECTIONS;
    const direction = u.clone().multiplyScalar(Math.cos(angle)).addScaledVector(v, Math.sin(angle));
    const ends = [1, -1].map((sign) => {
      const way = direction.clone().multiplyScalar(sign);
      const hit = firstHit(spot.casting, { origin: spot.point, direction: way }, 0, "leaving");
      return hit && way.multiplyScalar(hit.distance).add(spot.point);
    });
    if (!ends[0] || !ends[1]) continue;
    const wide = ends[0].distanceTo(ends[1]);
    if (wide < least) [least, best] = [wide, [ends[0], ends[1]]];
  }
  return best;
}

/** Where one comes out when going into the metal straight at a spot; null: nowhere. */
export function across(spot: Spot): Vector3 | null {
  const direction = spot.normal.clone().negate();
  const ray: Ray = { origin: spot.point, direction };
  const hit = firstHit(spot.casting, ray, SKIN, "leaving");
  return hit ? direction.multiplyScalar(hit.distance).add(spot.point) : null;
}
