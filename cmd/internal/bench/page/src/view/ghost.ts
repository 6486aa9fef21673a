// The saved piece laid over the changed one, like a tracing on thin paper: only
// its outlines and turned-away faces show.
import { BufferGeometry, BufferAttribute, Color, Group, type Matrix4, Mesh, ShaderMaterial } from "three";
import type { Model } from "../wire/container";
import { shade } from "./creases";

const VERTEX = `
varying vec3 vNormal;
varying vec3 vEye;
void main() {
  vec4 eye = modelViewMatrix * vec4(position, 1.0);
  vNormal = normalMatrix * normal;
  vEye = -eye.xyz;
  gl_Position = projectionMatrix * eye;
}`;

const FRAGMENT = `
uniform vec3 ink;
varying vec3 vNormal;
varying vec3 vEye;
void main() {
  float facing = abs(dot(normalize(vNormal), normalize(vEye)));
  float rim = pow(1.0 - facing, 1.6);
  gl_FragColor = vec4(ink, 0.05 + 0.7 * rim);
}`;

/** Drawn last, over everything. */
const ORDER = 20;

/** A tracing of a piece, and (of a pair) of its other ear, which is placed as the other ear that is drawn. */
export interface Tracing {
  id: string;
  first: Group;
  other: Group | null;
}

export function ghost(model: Model, ink: Color): Tracing {
  const first = new Group();
  const material = new ShaderMaterial({
    uniforms: { ink: { value: ink } },
    vertexShader: VERTEX,
    fragmentShader: FRAGMENT,
    transparent: true,
    depthWrite: false,
    depthTest: false,
  });
  for (const casting of model.castings) {
    const shaded = shade(casting);
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(shaded.positions, 3));
    geometry.setAttribute("normal", new BufferAttribute(shaded.normals, 3));
    geometry.setIndex(new BufferAttribute(shaded.indices, 1));
    const mesh = new Mesh(geometry, material);
    mesh.renderOrder = ORDER;
    mesh.userData.casting = casting.name;
    first.add(mesh);
  }
  const other = model.twin && first.clone(); // its geometry once more
  if (other) other.matrixAutoUpdate = false;
  return { id: model.id, first, other };
}

/** The drawn parts of a tracing, an ear each. */
export function ears({ first, other }: Tracing): Group[] {
  return other ? [first, other] : [first];
}

/** Shows a tracing of one casting alone or ("") of all; the other ear where it is drawn. */
export function layOver({ first, other }: Tracing, casting: string, ear: Matrix4 | null): void {
  for (const child of [...first.children, ...(other?.children ?? [])]) {
    child.visible = casting === "" || child.userData.casting === casting;
  }
  if (!other) return;
  other.visible = ear !== null;
  if (ear) other.matrix.copy(ear);
}
