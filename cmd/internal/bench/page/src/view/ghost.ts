// The saved piece laid over the changed one, like a tracing on thin paper: only
// its outlines and turned-away faces show.
import { BufferGeometry, BufferAttribute, Color, Group, Mesh, ShaderMaterial } from "three";
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

export function ghost(model: Model, ink: Color): Group {
  const group = new Group();
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
    group.add(mesh);
  }
  return group;
}
