// Points that a measure takes hold of: corners of a casting first, then its
// edges, else the place itself.
import { Vector3 } from "three";
import type { Casting } from "../wire/container";
import { faceNormals } from "./creases";
import type { Spot } from "./pointing";

/** Faces that meet at more than this have an edge between them, edges that turn by more a corner; cosine. */
const SHARP = Math.cos((33 * Math.PI) / 180);

export type Hold = "corner" | "edge" | "face";

interface Edges {
  /** Two vertices an edge. */
  ends: Uint32Array;
  corners: Uint32Array;
}

const known = new WeakMap<Casting, Edges>();

/** The corner or the place on an edge nearest to a spot and no farther than reach, mm. */
export function snap(spot: Spot, reach: number): { point: Vector3; on: Hold } {
  const face = { point: spot.point.clone(), on: "face" as Hold };
  if (spot.onCut) return face;
  const { positions: p } = spot.casting;
  const { ends, corners } = edgesOf(spot.casting);
  const at = (v: number) => new Vector3(p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!);
  let best = reach;
  let found: Vector3 | null = null;
  for (const v of corners) {
    const d = at(v).distanceTo(spot.point);
    if (d <= best) [best, found] = [d, at(v)];
  }
  if (found) return { point: found, on: "corner" };
  for (let i = 0; i < ends.length; i += 2) {
    const a = at(ends[i]!);
    const along = at(ends[i + 1]!).sub(a);
    const t = spot.point.clone().sub(a).dot(along) / along.lengthSq();
    const q = a.addScaledVector(along, Math.min(1, Math.max(0, t)));
    const d = q.distanceTo(spot.point);
    if (d <= best) [best, found] = [d, q];
  }
  return found ? { point: found, on: "edge" } : face;
}

/** The sharp edges of a casting, found once. */
function edgesOf(casting: Casting): Edges {
  const old = known.get(casting);
  if (old) return old;
  const { positions: p, indices } = casting;
  const normals = faceNormals(casting);
  const vertices = p.length / 3;
  const first = new Map<number, number>(); // an edge by its ends, and the face that has it first
  const ends: number[] = [];
  const met = new Map<number, [number, number][]>(); // the edges at a vertex
  for (let t = 0; t < indices.length / 3; t++) {
    for (let k = 0; k < 3; k++) {
      const a = indices[3 * t + k]!;
      const b = indices[3 * t + ((k + 1) % 3)]!;
      const key = Math.min(a, b) * vertices + Math.max(a, b);
      const other = first.get(key);
      if (other === undefined) {
        first.set(key, t);
        continue;
      }
      const cos = normals[4 * t]! * normals[4 * other]! + normals[4 * t + 1]! * normals[4 * other + 1]! + normals[4 * t + 2]! * normals[4 * other + 2]!;
      if (cos >= SHARP) continue;
      ends.push(a, b);
      for (const [v, w] of [[a, b], [b, a]] as const) met.set(v, [...(met.get(v) ?? []), [v, w]]);
    }
  }
  const corners = [...met].filter(([, edges]) => edges.length !== 2 || bends(p, edges)).map(([v]) => v);
  const made = { ends: Uint32Array.from(ends), corners: Uint32Array.from(corners) };
  known.set(casting, made);
  return made;
}

/** Whether the two edges at a vertex turn there. */
function bends(p: Float32Array, edges: [number, number][]): boolean {
  const [u, v] = edges.map(([from, to]) =>
    new Vector3(p[3 * to]! - p[3 * from]!, p[3 * to + 1]! - p[3 * from + 1]!, p[3 * to + 2]! - p[3 * from + 2]!).normalize(),
  );
  return -u!.dot(v!) < SHARP;
}
