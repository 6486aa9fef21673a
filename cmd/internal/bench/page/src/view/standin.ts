// Stand-ins: geometry with few triangles that is drawn for exact geometry while
// the piece moves, where exact frames are slow. Nobody but the one who draws sees
// them: what lies under a pointer is found on the exact model.
import { type BufferGeometry, InstancedMesh, Mesh, type Object3D } from "three";

const standIns = new WeakMap<BufferGeometry, BufferGeometry>();

/** Gives exact geometry a stand-in, which goes when it goes. */
export function standFor(exact: BufferGeometry, plain: BufferGeometry): void {
  standIns.set(exact, plain);
  exact.addEventListener("dispose", () => plain.dispose());
}

/** Draws with stand-ins in place of all geometry that has one. */
export function plainly(scene: Object3D, draw: () => void): void {
  const swapped: [Mesh, BufferGeometry][] = [];
  scene.traverseVisible((child) => {
    const plain = child instanceof Mesh && standIns.get(child.geometry);
    if (!plain) return;
    swapped.push([child, child.geometry]);
    child.geometry = plain;
  });
  try {
    draw();
  } finally {
    for (const [mesh, exact] of swapped) mesh.geometry = exact;
  }
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
