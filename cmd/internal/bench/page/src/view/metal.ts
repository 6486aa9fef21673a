// Metal: geometry with crisp creases, and the one material all castings share.
import { BufferAttribute, BufferGeometry, Color, FrontSide, MeshPhysicalMaterial, type Plane } from "three";
import type { Casting, Mesh } from "../wire/container";
import { shade } from "./creases";

/** A casting's geometry, and for each of its vertices the casting's own. */
export interface MetalGeometry {
  geometry: BufferGeometry;
  from: Uint32Array;
}

export function metalGeometry(casting: Mesh, crease?: number): MetalGeometry {
  const shaded = shade(casting, crease);
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(shaded.positions, 3));
  geometry.setAttribute("normal", new BufferAttribute(shaded.normals, 3));
  geometry.setIndex(new BufferAttribute(shaded.indices, 1));
  return { geometry, from: shaded.from };
}

/** Polished metal; planes cut it open. */
export function metalMaterial(casting: Casting, planes: Plane[]): MeshPhysicalMaterial {
  return new MeshPhysicalMaterial({
    color: new Color().setRGB(...casting.color, "srgb"),
    metalness: 1,
    roughness: Math.max(casting.roughness, 0.12),
    envMapIntensity: 1.15,
    side: FrontSide,
    clippingPlanes: planes,
  });
}
