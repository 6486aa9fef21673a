// Gathers a mesh: its vertices become few, each standing for those of a cell of an
// octree, where the planes of the faces round them meet best (Rossignac and Borrel
// 1993; Lindstrom 2000), so that edges stay sharp. Cells are as large as what lies
// in them is flat, and what they stand off is spread evenly. Nothing opens up, for
// a vertex belongs to one cell alone; what falls in on itself is dropped.
import type { Mesh } from "../wire/container";
import { faceNormals } from "./creases";

/** Cells a side of the finest grid, as a power of two. */
const FINEST = 10;
/** How much a point is drawn to the middle of its vertices, as a share of its planes' weight. */
const PULL = 0.02;

export interface Gathered extends Mesh {
  /** For each vertex here one of those it stands for. */
  from: Uint32Array;
}

/** Gathers a closed mesh, to one number of triangles or to several. */
export class Gatherer {
  private readonly tree: Tree;
  /** The triangles of the mesh in such an order that neighbours lie together. */
  readonly order: Uint32Array;

  constructor(private readonly mesh: Mesh) {
    this.tree = grow(mesh.positions, mesh.indices);
    const { leaf } = this.tree;
    const { indices } = mesh;
    const first = new Uint32Array(indices.length / 3);
    for (let t = 0; t < first.length; t++) first[t] = leaf[indices[3 * t]!]!;
    this.order = sorted(first, Math.ceil(Math.log2(leaf.length + 1) / 2));
  }

  /** About so many triangles, in the same order. */
  to(triangles: number): Gathered {
    const { tree } = this;
    const { indices } = this.mesh;
    const of = cut(tree, triangles / 2); // a closed mesh has twice as many triangles as vertices
    const number = new Int32Array(tree.parent.length).fill(-1);
    const from: number[] = [];
    for (let v = 0; v < of.length; v++) {
      if (number[of[v]!] === -1) number[of[v]!] = from.push(v) - 1;
    }
    const positions = new Float32Array(3 * from.length);
    for (let k = 0; k < from.length; k++) {
      for (let axis = 0; axis < 3; axis++) positions[3 * k + axis] = tree.points[3 * of[from[k]!]! + axis]! + tree.middle[axis]!;
    }
    const kept: number[] = [];
    for (const t of this.order) {
      const a = number[of[indices[3 * t]!]!]!;
      const b = number[of[indices[3 * t + 1]!]!]!;
      const c = number[of[indices[3 * t + 2]!]!]!;
      if (a !== b && b !== c && c !== a) kept.push(a, b, c);
    }
    return { positions, indices: Uint32Array.from(kept), from: Uint32Array.from(from) };
  }
}

/** Nodes of an octree, leaves first, the root last. */
interface Tree {
  /** The leaf of each vertex. */
  leaf: Uint32Array;
  /** The parent of each node; the root's is itself. */
  parent: Uint32Array;
  /** Where the vertices of a node are put, from the middle of the box. */
  points: Float32Array;
  /** How far that is off the planes round them, mm; never less than a child's. */
  off: Float32Array;
  middle: number[];
}

// Sums of a node: its vertices (three) and their number; of its planes, by area,
// n nT (six), n (n . q) (three) and (n . q)2.
const SUMS = 14;

function grow(p: Float32Array, indices: Uint32Array): Tree {
  const { keys, middle, cell } = mortons(p);
  const order = sorted(keys, (3 * FINEST) / 2);
  const leaf = new Uint32Array(keys.length);
  let level: number[] = [];
  for (const v of order) {
    if (level.length === 0 || level[level.length - 1] !== keys[v]) level.push(keys[v]!);
    leaf[v] = level.length - 1;
  }
  const parents: number[] = [];
  const sizes: number[] = [];
  for (let bits = FINEST; bits > 0 && level.length > 1; bits--) {
    const above: number[] = [];
    const begin = parents.length + level.length;
    for (const key of level) {
      if (above.length === 0 || above[above.length - 1] !== key >>> 3) above.push(key >>> 3);
      parents.push(begin + above.length - 1);
    }
    sizes.push(level.length);
    level = above;
  }
  const root = parents.length;
  parents.push(root);
  sizes.push(1);
  const parent = Uint32Array.from(parents);
  const sums = new Float64Array(SUMS * parent.length);
  addPlanes(sums, leaf, p, indices, middle);
  for (let node = 0; node < root; node++) {
    const to = SUMS * parent[node]!;
    for (let k = 0; k < SUMS; k++) sums[to + k]! += sums[SUMS * node + k]!;
  }
  const points = new Float32Array(3 * parent.length);
  const off = new Float32Array(parent.length);
  let node = 0;
  for (let depth = 0; depth < sizes.length; depth++) {
    const half = (cell * 2 ** depth) / 2;
    for (const end = node + sizes[depth]!; node < end; node++) {
      const far = meeting(sums, node, half, points);
      if (depth > 0 && far > off[node]!) off[node] = far;
      if (off[node]! > off[parent[node]!]!) off[parent[node]!] = off[node]!;
    }
  }
  return { leaf, parent, points, off, middle };
}

/** Where vertices lie on the finest grid, in Morton's order, and the size of its cells. */
function mortons(p: Float32Array): { keys: Uint32Array; middle: number[]; cell: number } {
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const high = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let i = 0; i < p.length; i++) {
    const axis = i % 3;
    if (p[i]! < low[axis]!) low[axis] = p[i]!;
    if (p[i]! > high[axis]!) high[axis] = p[i]!;
  }
  const middle = low.map((least, axis) => (least + high[axis]!) / 2);
  const wide = Math.max(...high.map((most, axis) => most - low[axis]!), Number.MIN_VALUE);
  // a little more than the box, so that no flat side of it lies on the border of two cells
  const cell = wide / (2 ** FINEST - 1);
  const keys = new Uint32Array(p.length / 3);
  for (let v = 0; v < keys.length; v++) {
    let key = 0;
    for (let axis = 0; axis < 3; axis++) {
      key |= spread(Math.floor((p[3 * v + axis]! - low[axis]!) / cell + 0.5)) << axis;
    }
    keys[v] = key;
  }
  return { keys, middle, cell };
}

/** Puts two zeros between the bits of a number below 1024. */
function spread(x: number): number {
  x = (x | (x << 16)) & 0x030000ff;
  x = (x | (x << 8)) & 0x0300f00f;
  x = (x | (x << 4)) & 0x030c30c3;
  return (x | (x << 2)) & 0x09249249;
}

/** Numbers things in the order of their keys, which have twice so many bits. */
function sorted(keys: Uint32Array, half: number): Uint32Array {
  const mask = (1 << half) - 1;
  let order = new Uint32Array(keys.length);
  for (let v = 0; v < order.length; v++) order[v] = v;
  for (const shift of [0, half]) {
    const start = new Uint32Array(mask + 2);
    for (const key of keys) start[((key >>> shift) & mask) + 1]!++;
    for (let k = 0; k <= mask; k++) start[k + 1]! += start[k]!;
    const next = new Uint32Array(order.length);
    for (const v of order) next[start[(keys[v]! >>> shift) & mask]!++] = v;
    order = next;
  }
  return order;
}

function addPlanes(sums: Float64Array, leaf: Uint32Array, p: Float32Array, indices: Uint32Array, [mx, my, mz]: number[]): void {
  for (let v = 0; v < leaf.length; v++) {
    const s = SUMS * leaf[v]!;
    sums[s]! += p[3 * v]! - mx!;
    sums[s + 1]! += p[3 * v + 1]! - my!;
    sums[s + 2]! += p[3 * v + 2]! - mz!;
    sums[s + 3]!++;
  }
  const faces = faceNormals({ positions: p, indices });
  for (let i = 0; i < indices.length; i += 3) {
    const t = (4 * i) / 3;
    const weight = 2 * faces[t + 3]!;
    if (weight === 0) continue;
    const x = faces[t]!;
    const y = faces[t + 1]!;
    const z = faces[t + 2]!;
    const a = 3 * indices[i]!;
    const far = x * (p[a]! - mx!) + y * (p[a + 1]! - my!) + z * (p[a + 2]! - mz!);
    for (let k = 0; k < 3; k++) {
      const s = SUMS * leaf[indices[i + k]!]!;
      sums[s + 4]! += weight * x * x;
      sums[s + 5]! += weight * x * y;
      sums[s + 6]! += weight * x * z;
      sums[s + 7]! += weight * y * y;
      sums[s + 8]! += weight * y * z;
      sums[s + 9]! += weight * z * z;
      sums[s + 10]! += weight * x * far;
      sums[s + 11]! += weight * y * far;
      sums[s + 12]! += weight * z * far;
      sums[s + 13]! += weight * far * far;
    }
  }
}

/**
 * Puts the point of a node where (A + pull) q = b + pull m, with m the middle of
 * its vertices, no farther from it than half a cell. Returns the mean distance
 * from the planes (root of the mean square).
 */
function meeting(sums: Float64Array, node: number, half: number, points: Float32Array): number {
  const s = SUMS * node;
  const mx = sums[s]! / sums[s + 3]!;
  const my = sums[s + 1]! / sums[s + 3]!;
  const mz = sums[s + 2]! / sums[s + 3]!;
  const weight = sums[s + 4]! + sums[s + 7]! + sums[s + 9]!;
  const pull = PULL * weight;
  const xx = sums[s + 4]!;
  const xy = sums[s + 5]!;
  const xz = sums[s + 6]!;
  const yy = sums[s + 7]!;
  const yz = sums[s + 8]!;
  const zz = sums[s + 9]!;
  // as steps from the middle: the right side is what the planes are away from it
  const bx = sums[s + 10]! - (xx * mx + xy * my + xz * mz);
  const by = sums[s + 11]! - (xy * mx + yy * my + yz * mz);
  const bz = sums[s + 12]! - (xz * mx + yz * my + zz * mz);
  let dx = 0;
  let dy = 0;
  let dz = 0;
  if (weight > 0) {
    const a = xx + pull;
    const e = yy + pull;
    const i = zz + pull;
    const c0 = e * i - yz * yz;
    const c1 = xz * yz - xy * i;
    const c2 = xy * yz - xz * e;
    const det = a * c0 + xy * c1 + xz * c2;
    const fit = (d: number) => Math.min(half, Math.max(-half, d / det));
    dx = fit(c0 * bx + c1 * by + c2 * bz);
    dy = fit(c1 * bx + (a * i - xz * xz) * by + (xy * xz - a * yz) * bz);
    dz = fit(c2 * bx + (xy * xz - a * yz) * by + (a * e - xy * xy) * bz);
  }
  points[3 * node] = mx + dx;
  points[3 * node + 1] = my + dy;
  points[3 * node + 2] = mz + dz;
  if (weight === 0) return 0;
  // (n . q)2 about the middle, then about the point
  const about = sums[s + 13]! - 2 * (sums[s + 10]! * mx + sums[s + 11]! * my + sums[s + 12]! * mz) + mx * (xx * mx + xy * my + xz * mz) + my * (xy * mx + yy * my + yz * mz) + mz * (xz * mx + yz * my + zz * mz);
  const square = about - 2 * (bx * dx + by * dy + bz * dz) + dx * (xx * dx + xy * dy + xz * dz) + dy * (xy * dx + yy * dy + yz * dz) + dz * (xz * dx + yz * dy + zz * dz);
  return Math.sqrt(Math.max(square, 0) / weight);
}

/** Cuts a tree so that no more than so many nodes are left; the node of each vertex. */
function cut({ leaf, parent, off }: Tree, most: number): Uint32Array {
  const root = parent.length - 1;
  const left = (limit: number) => {
    let count = off[root]! <= limit ? 1 : 0;
    for (let node = 0; node < root; node++) if (off[node]! <= limit && off[parent[node]!]! > limit) count++;
    return count;
  };
  let low = 0;
  let high = off[root]!;
  if (left(0) <= most) high = 0;
  for (let k = 0; k < 24 && high > low; k++) {
    const limit = (low + high) / 2;
    if (left(limit) > most) low = limit;
    else high = limit;
  }
  const top = new Uint32Array(parent.length);
  for (let node = root; node >= 0; node--) {
    const above = parent[node]!;
    top[node] = node < root && off[above]! <= high ? top[above]! : node;
  }
  const of = new Uint32Array(leaf.length);
  for (let v = 0; v < of.length; v++) of[v] = top[leaf[v]!]!;
  return of;
}
