// Cutting open: a plane that clips, and the faces it makes. A face is what is
// inside the metal along the plane: backs count up in the stencil, fronts count
// down, what is left over is inside. Meshes must be closed for this, and are.
import {
  AlwaysStencilFunc,
  BackSide,
  type BufferGeometry,
  Color,
  DecrementWrapStencilOp,
  DoubleSide,
  FrontSide,
  Group,
  IncrementWrapStencilOp,
  InstancedMesh,
  type Matrix4,
  Mesh,
  MeshBasicMaterial,
  NotEqualStencilFunc,
  Plane,
  PlaneGeometry,
  ReplaceStencilOp,
  type Side,
  Vector3,
} from "three";
import { hatch } from "./hatch";

export type Axis = "x" | "y" | "z";

const NORMALS: Record<Axis, Vector3> = {
  x: new Vector3(1, 0, 0),
  y: new Vector3(0, 1, 0),
  z: new Vector3(0, 0, 1),
};

export class Cut {
  on = false;
  axis: Axis = "x";
  /** Where along the axis, mm. */
  at = 0;
  /** Keeps what lies above instead of below. */
  flipped = false;
  /** In the piece's own frame; what lies on its positive side is kept. */
  readonly plane = new Plane();
  /** The same plane in the scene, given to materials; empty when not cut. */
  readonly planes: Plane[] = [];
  readonly group = new Group();
  private readonly inScene = new Plane();

  /** Takes the choices over and puts the planes and faces there. */
  place(frame: Matrix4, center: Vector3, radius: number): void {
    const normal = NORMALS[this.axis].clone().multiplyScalar(this.flipped ? 1 : -1);
    this.plane.setFromNormalAndCoplanarPoint(normal, NORMALS[this.axis].clone().multiplyScalar(this.at));
    this.inScene.copy(this.plane).applyMatrix4(frame);
    this.planes.length = 0;
    if (this.on) this.planes.push(this.inScene);
    this.group.visible = this.on;
    const middle = this.plane.projectPoint(center, new Vector3());
    for (const child of this.group.children) {
      if (!(child instanceof Mesh) || !child.userData.face) continue;
      child.position.copy(middle);
      child.scale.setScalar(2.2 * radius);
      child.quaternion.setFromUnitVectors(NORMALS.z, normal.clone().negate());
    }
  }

  /** Whether a point of the piece's frame is cut away. */
  gone(point: Vector3): boolean {
    return this.on && this.plane.distanceToPoint(point) < 0;
  }

  /** Forgets all faces. */
  clear(): void {
    for (const child of [...this.group.children]) {
      this.group.remove(child);
      const mesh = child as Mesh;
      if (mesh.userData.face) mesh.geometry.dispose();
      (mesh.material as MeshBasicMaterial).dispose();
      if (child instanceof InstancedMesh) child.dispose();
    }
  }

  /**
   * Adds the faces of a body, or of many equal ones. Order keeps bodies apart,
   * as each clears the stencil after itself.
   */
  add(geometry: BufferGeometry, like: InstancedMesh | null, color: Color, hatched: boolean, order: number, tag: unknown): void {
    for (const side of [BackSide, FrontSide] as const) {
      const material = counter(side, this.planes);
      let mesh: Mesh;
      if (like) {
        const many = new InstancedMesh(geometry, material, like.count);
        many.instanceMatrix = like.instanceMatrix;
        mesh = many;
      } else {
        mesh = new Mesh(geometry, material);
      }
      mesh.renderOrder = order;
      mesh.userData.tag = tag;
      this.group.add(mesh);
    }
    const material = hatched ? hatch(color) : new MeshBasicMaterial({ color });
    material.side = DoubleSide;
    material.stencilWrite = true;
    material.stencilRef = 0;
    material.stencilFunc = NotEqualStencilFunc;
    material.stencilFail = material.stencilZFail = material.stencilZPass = ReplaceStencilOp;
    const face = new Mesh(new PlaneGeometry(1, 1), material);
    face.renderOrder = order + 0.5;
    face.userData.face = true;
    face.userData.tag = tag;
    face.onAfterRender = (renderer) => renderer.clearStencil();
    this.group.add(face);
  }

  /** Shows only faces whose tag is welcome. */
  filter(welcome: (tag: unknown) => boolean): void {
    for (const child of this.group.children) child.visible = welcome(child.userData.tag);
  }
}

/** Draws nothing, counts in the stencil. */
function counter(side: Side, planes: Plane[]): MeshBasicMaterial {
  const material = new MeshBasicMaterial({ side, colorWrite: false, depthWrite: false, depthTest: false });
  material.clippingPlanes = planes;
  material.stencilWrite = true;
  material.stencilFunc = AlwaysStencilFunc;
  const op = side === BackSide ? IncrementWrapStencilOp : DecrementWrapStencilOp;
  material.stencilFail = material.stencilZFail = material.stencilZPass = op;
  return material;
}
