// Normals for an indexed mesh: smooth where it is smooth, crisp at creases. A
// vertex on a crease is doubled, once for each smooth side of it. Faces count
// by their area, so that flats beside small fillets stay flat.
import type { Mesh } from "../wire/container";

/** Faces that meet at more than this, degrees, have a crease between them. */
const CREASE = 33;

export interface Shaded {
  positions: Float32Array;
  normals: Float32Array;
  indices: Uint32Array;
  /** For each vertex here the vertex of the mesh it comes from. */
  from: Uint32Array;
}

export function shade(mesh: Mesh, crease = CREASE): Shaded {
  const { positions, indices } = mesh;
  const vertices = positions.length / 3;
  const corners = indices.length;
  const faces = faceNormals(mesh);

  // Corners gathered by vertex: those of v are order[start[v]] to order[start[v+1]-1].
  const start = new Uint32Array(vertices + 1);
  for (let c = 0; c < corners; c++) start[indices[c]! + 1]!++;
  for (let v = 0; v < vertices; v++) start[v + 1]! += start[v]!;
  const fill = start.slice();
  const order = new Uint32Array(corners);
  for (let c = 0; c < corners; c++) order[fill[indices[c]!]!++] = c;

  const made = new Uint32Array(corners);
  const from: number[] = [];
  const normals: number[] = [];
  const limit = Math.cos((crease * Math.PI) / 180);
  for (let v = 0; v < vertices; v++) {
    const first = from.length;
    for (let i = start[v]!; i < start[v + 1]!; i++) {
      const face = 4 * Math.floor(order[i]! / 3);
      let x = 0;
      let y = 0;
      let z = 0;
      for (let j = start[v]!; j < start[v + 1]!; j++) {
        const other = 4 * Math.floor(order[j]! / 3);
        const cos =
          faces[face]! * faces[other]! + faces[face + 1]! * faces[other + 1]! + faces[face + 2]! * faces[other + 2]!;
        if (cos < limit && other !== face) continue;
        const area = faces[other + 3]!;
        x += area * faces[other]!;
        y += area * faces[other + 1]!;
        z += area * faces[other + 2]!;
      }
      const length = Math.hypot(x, y, z) || 1;
      x /= length;
      y /= length;
      z /= length;
      made[order[i]!] = claim(normals, from, first, v, x, y, z);
    }
  }

  const out = new Float32Array(from.length * 3);
  for (let i = 0; i < from.length; i++) {
    const v = 3 * from[i]!;
    out[3 * i] = positions[v]!;
    out[3 * i + 1] = positions[v + 1]!;
    out[3 * i + 2] = positions[v + 2]!;
  }
  return { positions: out, normals: Float32Array.from(normals), indices: made, from: Uint32Array.from(from) };
}

/** Normals closer than this, as a cosine (about 1 degree), share a vertex. */
const ALIKE = 0.9998;

/** Finds the double of v with that normal among those from first on, or makes it. */
function claim(normals: number[], from: number[], first: number, v: number, x: number, y: number, z: number): number {
  for (let k = first; k < from.length; k++) {
    if (normals[3 * k]! * x + normals[3 * k + 1]! * y + normals[3 * k + 2]! * z > ALIKE) return k;
  }
  normals.push(x, y, z);
  from.push(v);
  return from.length - 1;
}

/** Four numbers a triangle: its unit normal and its area, mm2. */
export function faceNormals({ positions: p, indices }: Mesh): Float32Array {
  const out = new Float32Array((indices.length / 3) * 4);
  for (let t = 0; t < indices.length / 3; t++) {
    const a = 3 * indices[3 * t]!;
    const b = 3 * indices[3 * t + 1]!;
    const c = 3 * indices[3 * t + 2]!;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const length = Math.hypot(x, y, z);
    const by = length || 1;
    out[4 * t] = x / by;
    out[4 * t + 1] = y / by;
    out[4 * t + 2] = z / by;
    out[4 * t + 3] = length / 2;
  }
  return out;
}
