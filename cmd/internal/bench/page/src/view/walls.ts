// Colours of thickness: red where metal is at the limit or thinner, through
// straw to blue where it is thick. Told apart by the colour-blind, too.
import { BufferAttribute, type BufferGeometry } from "three";

/** Stops of the scale: share of the way from limit to top, sRGB 0 to 1. */
const STOPS: [number, [number, number, number]][] = [
  [0, [0.7, 0.13, 0.09]],
  [0.12, [0.88, 0.42, 0.16]],
  [0.4, [0.95, 0.82, 0.5]],
  [0.7, [0.66, 0.78, 0.82]],
  [1, [0.27, 0.45, 0.66]],
];

/** The colour of a thickness, sRGB 0 to 1. */
export function wallColor(mm: number, limit: number, top: number): [number, number, number] {
  const share = Math.min(1, Math.max(0, (mm - limit) / (top - limit || 1)));
  for (let i = 1; i < STOPS.length; i++) {
    const [to, end] = STOPS[i]!;
    const [from, begin] = STOPS[i - 1]!;
    if (share > to) continue;
    const t = (share - from) / (to - from);
    return [0, 1, 2].map((k) => begin[k]! + t * (end[k]! - begin[k]!)) as [number, number, number];
  }
  return STOPS[STOPS.length - 1]![1];
}

/** Colours the vertices of a geometry; from leads to the vertices measured. */
export function colorWalls(geometry: BufferGeometry, from: Uint32Array, thickness: Float32Array, limit: number, top: number): void {
  const colors = new Float32Array(from.length * 3);
  for (let i = 0; i < from.length; i++) {
    const rgb = wallColor(thickness[from[i]!]!, limit, top);
    for (let k = 0; k < 3; k++) colors[3 * i + k] = linear(rgb[k]!);
  }
  geometry.setAttribute("color", new BufferAttribute(colors, 3));
}

/** sRGB to linear light, IEC 61966-2-1. */
function linear(c: number): number {
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}
