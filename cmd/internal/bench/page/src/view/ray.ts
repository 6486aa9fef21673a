// What a ray meets: a plain walk over all triangles, quick enough for a hand
// (some ms for 100,000), without a tree to build for each new mesh.
import type { Mesh } from "../wire/container";

export interface Hit {
  /** Along the ray, in lengths of its direction. */
  distance: number;
  triangle: number;
  /** The ray leaves the metal there. */
  leaving: boolean;
}

export interface Ray {
  origin: { x: number; y: number; z: number };
  direction: { x: number; y: number; z: number };
}

/**
 * Finds the first triangle that a ray meets beyond a distance, from either side;
 * null when there is none. Tomas Möller, Ben Trumbore, "Fast, Minimum Storage
 * Ray/Triangle Intersection", 1997.
 */
export function firstHit(mesh: Mesh, ray: Ray, beyond: number, side: "any" | "leaving" = "any"): Hit | null {
  const { positions: p, indices } = mesh;
  const { x: ox, y: oy, z: oz } = ray.origin;
  const { x: dx, y: dy, z: dz } = ray.direction;
  let best = Number.POSITIVE_INFINITY;
  let triangle = -1;
  let leaving = false;
  for (let i = 0; i < indices.length; i += 3) {
    const a = 3 * indices[i]!;
    const b = 3 * indices[i + 1]!;
    const c = 3 * indices[i + 2]!;
    const ax = p[a]!;
    const ay = p[a + 1]!;
    const az = p[a + 2]!;
    const ux = p[b]! - ax;
    const uy = p[b + 1]! - ay;
    const uz = p[b + 2]! - az;
    const vx = p[c]! - ax;
    const vy = p[c + 1]! - ay;
    const vz = p[c + 2]! - az;
    const qx = dy * vz - dz * vy;
    const qy = dz * vx - dx * vz;
    const qz = dx * vy - dy * vx;
    const det = ux * qx + uy * qy + uz * qz; // > 0: the front faces the ray
    if (det === 0 || (side === "leaving" && det > 0)) continue;
    const tx = ox - ax;
    const ty = oy - ay;
    const tz = oz - az;
    const s = (tx * qx + ty * qy + tz * qz) / det;
    if (s < 0 || s > 1) continue;
    const rx = ty * uz - tz * uy;
    const ry = tz * ux - tx * uz;
    const rz = tx * uy - ty * ux;
    const t = (dx * rx + dy * ry + dz * rz) / det;
    if (t < 0 || s + t > 1) continue;
    const distance = (vx * rx + vy * ry + vz * rz) / det;
    if (distance > beyond && distance < best) {
      best = distance;
      triangle = i / 3;
      leaving = det < 0;
    }
  }
  return triangle < 0 ? null : { distance: best, triangle, leaving };
}
