// Colours of thickness, by the scale that comes with the walls.
import { BufferAttribute, type BufferGeometry } from "three";
import type { Stop } from "../wire/container";

/** The colour of a share of what is asked, sRGB 0 to 1; between two stops it is mixed. */
export function wallColor(share: number, scale: Stop[]): [number, number, number] {
  const next = scale.findIndex((stop) => share < stop.at);
  const end = scale[next < 0 ? scale.length - 1 : next]!;
  const begin = next > 0 ? scale[next - 1]! : end;
  const t = begin === end ? 0 : (share - begin.at) / (end.at - begin.at);
  return [0, 1, 2].map((k) => (begin.color[k]! + t * (end.color[k]! - begin.color[k]!)) / 255) as [number, number, number];
}

/** Colours the vertices of a geometry; from leads to the vertices measured. */
export function colorWalls(geometry: BufferGeometry, from: Uint32Array, shares: Float32Array, scale: Stop[]): void {
  const colors = new Float32Array(from.length * 3);
  for (let i = 0; i < from.length; i++) {
    const rgb = wallColor(shares[from[i]!]!, scale);
    for (let k = 0; k < 3; k++) colors[3 * i + k] = linear(rgb[k]!);
  }
  geometry.setAttribute("color", new BufferAttribute(colors, 3));
}

/** sRGB to linear light, IEC 61966-2-1. */
function linear(c: number): number {
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}
