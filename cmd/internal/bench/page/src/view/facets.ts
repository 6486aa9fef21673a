// The planes of a cut stone, from its mesh: what light is followed between.
import { Vector4 } from "three";
import type { Mesh } from "../wire/container";
import { faceNormals } from "./creases";

/** No stone gets more planes; what a shader walks through for each pixel. */
export const MOST = 64;

/** Cosine of the angle below which triangles lie in one plane (0.5 degrees). */
const ALIKE = 0.99996;
/** Planes with a smaller share of the surface are left out: strips of a girdle. */
const SMALL = 0.003;
/** The planes that are kept cover this much of the surface at least, or it is no cut stone. */
const COVER = 0.85;
/** How far a corner may stand out of a plane, as a share of the stone's size. */
const BULGE = 0.01;

/**
 * The facets of a stone as planes, normal and distance from the origin, the
 * largest first; null when it is round or hollow, and so has none to follow.
 */
export function facets(shape: Mesh): { planes: Vector4[]; size: number } | null {
  const faces = faceNormals(shape);
  const { positions, indices } = shape;
  const found: { plane: Vector4; area: number }[] = [];
  let total = 0;
  let size = 0;
  for (let i = 0; i < positions.length; i++) size = Math.max(size, 2 * Math.abs(positions[i]!));
  for (let t = 0; t < faces.length / 4; t++) {
    const [x, y, z, area] = faces.subarray(4 * t, 4 * t + 4) as unknown as [number, number, number, number];
    const v = 3 * indices[3 * t]!;
    const far = x * positions[v]! + y * positions[v + 1]! + z * positions[v + 2]!;
    total += area;
    const same = found.find(({ plane: p }) => p.x * x + p.y * y + p.z * z > ALIKE && Math.abs(p.w - far) < BULGE * size);
    if (same) same.area += area;
    else found.push({ plane: new Vector4(x, y, z, far), area });
  }
  found.sort((a, b) => b.area - a.area);
  const kept = found.slice(0, MOST).filter(({ area }) => area > SMALL * total);
  const covered = kept.reduce((sum, { area }) => sum + area, 0);
  if (covered < COVER * total || kept.some(({ plane }) => pierced(plane, positions, BULGE * size))) return null;
  return { planes: kept.map(({ plane }) => plane), size };
}

/** Whether a corner stands out of a plane. */
function pierced({ x, y, z, w }: Vector4, positions: Float32Array, by: number): boolean {
  for (let i = 0; i < positions.length; i += 3) {
    if (x * positions[i]! + y * positions[i + 1]! + z * positions[i + 2]! > w + by) return true;
  }
  return false;
}
