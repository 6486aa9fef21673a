// Stand-ins: geometry with fewer triangles that is drawn for exact geometry while
// the piece moves, where exact frames are slow. There are several, and the finest
// is drawn that has few triangles in the picture. Nobody but the one who draws sees
// them: what lies under a pointer is found on the exact model.
import { BufferAttribute, BufferGeometry, type Camera, Frustum, InstancedMesh, type Material, Matrix4, Mesh, type Object3D, type Scene, Sphere, Vector3, type WebGLRenderer } from "three";
import { ballOf } from "./ball";

/** Triangles that a processor draws in some hundredths of a second. */
export const FEW = 72_000;
/** How many of them the next finer stand-ins may have in the picture before they are let be. */
const SOME = 1.25 * FEW;

/** Triangles of a block. */
const BLOCK = 256;

/** Geometry for one mesh or many; in blocks, if those out of the picture are to be left out. */
export interface StandIn {
  geometry: BufferGeometry;
  blocks: Sphere[] | null;
}

const standIns = new WeakMap<BufferGeometry, StandIn[]>();

/** Gives exact geometry one more stand-in, finer than those before, which goes when it goes. */
export function standFor(exact: BufferGeometry, way: StandIn): void {
  const ways = standIns.get(exact);
  if (ways) ways.push(way);
  else standIns.set(exact, [way]);
  if (way.geometry !== exact) exact.addEventListener("dispose", () => way.geometry.dispose());
}

/** Geometry in other order: for each of its triangles the number of it in the old one. */
export function reordered(exact: BufferGeometry, order: Uint32Array): BufferGeometry {
  const geometry = new BufferGeometry();
  for (const name of ["position", "normal"]) geometry.setAttribute(name, exact.getAttribute(name));
  const old = exact.getIndex()!.array;
  const indices = new Uint32Array(old.length);
  order.forEach((t, i) => {
    for (let k = 0; k < 3; k++) indices[3 * i + k] = old[3 * t + k]!;
  });
  return geometry.setIndex(new BufferAttribute(indices, 1));
}

/** Makes a stand-in of geometry whose neighbours lie together, in blocks. */
export function inBlocks(geometry: BufferGeometry): StandIn {
  const index = geometry.getIndex()!.array;
  const p = geometry.getAttribute("position").array;
  const blocks: Sphere[] = [];
  const low = new Vector3();
  const high = new Vector3();
  const at = new Vector3();
  for (let first = 0; first < index.length; first += 3 * BLOCK) {
    low.setScalar(Number.POSITIVE_INFINITY);
    high.setScalar(Number.NEGATIVE_INFINITY);
    for (let i = first; i < Math.min(first + 3 * BLOCK, index.length); i++) {
      at.fromArray(p, 3 * index[i]!);
      low.min(at);
      high.max(at);
    }
    blocks.push(new Sphere(low.clone().add(high).divideScalar(2), low.distanceTo(high) / 2));
  }
  return { geometry, blocks };
}

/** Draws with stand-ins in place of all geometry that has some, and metal by balls. */
export function plainly(renderer: WebGLRenderer, scene: Scene, camera: Camera, draw: () => void): void {
  const meshes: Mesh[] = [];
  scene.traverseVisible((child) => {
    if (child instanceof Mesh && (standIns.has(child.geometry) || ballOf(child.material))) meshes.push(child);
  });
  camera.updateMatrixWorld();
  const seen = meshes.map((mesh) => waysOf(mesh).map((way) => inPicture(mesh, way, camera)));
  const at = <T>(ways: T[], level: number) => ways[Math.min(level, ways.length - 1)]!;
  const sum = (level: number) => seen.reduce((all, ways) => all + at(ways, level).count, 0);
  let level = Math.max(0, ...seen.map((ways) => ways.length - 1));
  while (level > 0 && sum(level) > SOME) level--;

  const before = meshes.map(({ geometry, material }) => ({ geometry, material }));
  const shown = new Map<BufferGeometry, boolean[]>(); // of several meshes, perhaps
  const drawn = new Set<unknown>();
  meshes.forEach((mesh, i) => {
    const { geometry } = at(waysOf(mesh), level);
    const { blocks } = at(seen[i]!, level);
    mesh.geometry = geometry;
    const ball = ballOf(mesh.material);
    if (ball) {
      if (!drawn.has(ball)) ball.draw(renderer, scene.environment, camera);
      drawn.add(ball);
      mesh.material = ball.material;
    }
    if (!blocks) return;
    const others = shown.get(geometry);
    shown.set(geometry, others ? others.map((yes, b) => yes || blocks[b]!) : blocks);
    mesh.material = [mesh.material as Material]; // then parts of geometry can be drawn
  });
  for (const [geometry, blocks] of shown) geometry.groups = stretches(blocks, geometry.getIndex()!.count);
  try {
    draw();
  } finally {
    meshes.forEach((mesh, i) => Object.assign(mesh, before[i]));
  }
}

/** What may be drawn for a mesh. */
function waysOf({ geometry }: Mesh): StandIn[] {
  return standIns.get(geometry) ?? [{ geometry, blocks: null }];
}

/** Which blocks of a mesh are in the picture or nearly so (all: null), and how many triangles. */
function inPicture(mesh: Mesh, { geometry, blocks }: StandIn, camera: Camera): { count: number; blocks: boolean[] | null } {
  const view = new Matrix4().multiplyMatrices(camera.projectionMatrix, camera.matrixWorldInverse).multiply(mesh.matrixWorld);
  const frustum = new Frustum().setFromProjectionMatrix(view);
  if (blocks) {
    const seen = blocks.map((sphere) => frustum.intersectsSphere(sphere));
    return { count: BLOCK * seen.filter(Boolean).length, blocks: seen };
  }
  const one = trianglesOf(geometry);
  if (!(mesh instanceof InstancedMesh)) return { count: one, blocks: null };
  if (!geometry.boundingSphere) geometry.computeBoundingSphere();
  const place = new Matrix4();
  const sphere = new Sphere();
  let count = 0;
  for (let n = 0; n < mesh.count; n++) {
    mesh.getMatrixAt(n, place);
    if (frustum.intersectsSphere(sphere.copy(geometry.boundingSphere!).applyMatrix4(place))) count += one;
  }
  return { count, blocks: null };
}

/** The stretches of an index with the blocks that are wanted. */
function stretches(blocks: boolean[], end: number): { start: number; count: number; materialIndex: number }[] {
  const made: { start: number; count: number; materialIndex: number }[] = [];
  blocks.forEach((wanted, b) => {
    if (!wanted) return;
    const start = 3 * BLOCK * b;
    const count = Math.min(3 * BLOCK, end - start);
    const last = made[made.length - 1];
    if (last && last.start + last.count === start) last.count += count;
    else made.push({ start, count, materialIndex: 0 });
  });
  return made;
}

/** Triangles of all that is shown. */
export function countTriangles(scene: Object3D): number {
  let sum = 0;
  scene.traverseVisible((child) => {
    if (child instanceof Mesh) sum += trianglesOf(child.geometry) * (child instanceof InstancedMesh ? child.count : 1);
  });
  return sum;
}

export function trianglesOf(geometry: BufferGeometry): number {
  return (geometry.getIndex() ?? geometry.getAttribute("position")).count / 3;
}
