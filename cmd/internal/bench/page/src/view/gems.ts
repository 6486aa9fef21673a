// Stones: one instanced mesh for each shape and gem.
import { BufferAttribute, BufferGeometry, Color, InstancedMesh, type Material, Matrix4, MeshPhysicalMaterial, type Plane } from "three";
import type { Mesh, Stones } from "../wire/container";
import { brilliance } from "./brilliance";
import { facets } from "./facets";

/** A shape of stones: its geometry with flat facets, and the planes of these. */
export interface Shape {
  geometry: BufferGeometry;
  cut: ReturnType<typeof facets>;
}

export function gemShape(shape: Mesh): Shape {
  return { geometry: gemGeometry(shape), cut: facets(shape) };
}

/** Facets need normals of their own: no vertex is shared. */
export function gemGeometry(shape: Mesh): BufferGeometry {
  const indexed = new BufferGeometry();
  indexed.setAttribute("position", new BufferAttribute(shape.positions, 3));
  indexed.setIndex(new BufferAttribute(shape.indices, 1));
  const geometry = indexed.toNonIndexed();
  geometry.computeVertexNormals();
  return geometry;
}

export function gems(lot: Stones, shape: Shape, planes: Plane[]): InstancedMesh {
  const count = lot.matrices.length / 16;
  const mesh = new InstancedMesh(shape.geometry, material(lot, shape, planes), count);
  const matrix = new Matrix4();
  for (let n = 0; n < count; n++) mesh.setMatrixAt(n, matrix.fromArray(lot.matrices, 16 * n));
  return mesh;
}

/** The colour of a stone, linear light. */
export function gemColor(lot: Stones): Color {
  return new Color().setRGB(...lot.color, "srgb");
}

function material(lot: Stones, { cut }: Shape, planes: Plane[]): Material {
  const color = gemColor(lot);
  if (lot.clear && cut) return brilliance(color, lot.index, cut.planes, cut.size, planes);
  return new MeshPhysicalMaterial({
    color,
    metalness: 0,
    roughness: 0.08,
    clearcoat: lot.clear ? 1 : 0.4,
    envMapIntensity: 1.4,
    flatShading: false,
    clippingPlanes: planes,
  });
}
