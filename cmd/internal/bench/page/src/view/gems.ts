// Stones: one instanced mesh for each shape and gem, drawn twice: the pavilion
// seen through the stone, then the crown over it, both with flat facets.
import { BackSide, BufferAttribute, BufferGeometry, Color, FrontSide, InstancedMesh, Matrix4, MeshPhysicalMaterial, type Plane, type Side } from "three";
import type { Mesh, Stones } from "../wire/container";

/** Drawn after metal and its cut faces; crowns after pavilions. */
const PAVILION = 10;
const CROWN = 11;

/** Facets need normals of their own: no vertex is shared. */
export function gemGeometry(shape: Mesh): BufferGeometry {
  const indexed = new BufferGeometry();
  indexed.setAttribute("position", new BufferAttribute(shape.positions, 3));
  indexed.setIndex(new BufferAttribute(shape.indices, 1));
  const geometry = indexed.toNonIndexed();
  geometry.computeVertexNormals();
  return geometry;
}

export function gems(lot: Stones, geometry: BufferGeometry, planes: Plane[]): InstancedMesh[] {
  const color = new Color().setRGB(...lot.color, "srgb");
  const layers = lot.clear
    ? [layer(color, BackSide, 1, planes), layer(color, FrontSide, 0.42, planes)]
    : [layer(color, FrontSide, 1, planes)];
  const count = lot.matrices.length / 16;
  const matrix = new Matrix4();
  return layers.map((material, i) => {
    const mesh = new InstancedMesh(geometry, material, count);
    for (let n = 0; n < count; n++) mesh.setMatrixAt(n, matrix.fromArray(lot.matrices, 16 * n));
    mesh.renderOrder = i === 0 ? PAVILION : CROWN;
    return mesh;
  });
}

function layer(color: Color, side: Side, opacity: number, planes: Plane[]): MeshPhysicalMaterial {
  const inner = side === BackSide;
  return new MeshPhysicalMaterial({
    // Light goes through the stone once on the way in and once on the way out.
    color: inner ? color : color.clone().lerp(new Color(1, 1, 1), 0.25),
    metalness: inner ? 0.55 : 0,
    roughness: inner ? 0.08 : 0.02,
    envMapIntensity: inner ? 2.2 : 1.6,
    specularIntensity: 1,
    ior: 1.9,
    side,
    transparent: opacity < 1,
    opacity,
    depthWrite: inner || opacity === 1,
    flatShading: true,
    clippingPlanes: planes,
  });
}
