// Metal drawn lightly. What metal looks like depends on where it faces and on the
// eye alone, for the room is far away: so its look is drawn once a frame, on a small
// ball, and all else only looks there. It is the same look, at a fraction of the
// cost of light for each pixel.
import { type Camera, type Material, Mesh, MeshPhysicalMaterial, OrthographicCamera, Scene, ShaderMaterial, SphereGeometry, type Texture, type WebGLRenderer } from "three";
import { canvasLike } from "./sheet";

/** Pixels a side of the picture of a ball, and how much of half its width the ball takes. */
const SIZE = 96;
const WIDE = 0.96;

const VERTEX = `
#include <clipping_planes_pars_vertex>
#include <color_pars_vertex>
varying vec3 vNormal;
varying vec3 vEye;
void main() {
  #include <color_vertex>
  vNormal = normalMatrix * normal;
  vec4 mvPosition = modelViewMatrix * vec4(position, 1.0);
  vEye = -mvPosition.xyz;
  gl_Position = projectionMatrix * mvPosition;
  #include <clipping_planes_vertex>
}`;

const FRAGMENT = `
#include <clipping_planes_pars_fragment>
#include <color_pars_fragment>
uniform sampler2D ball;
varying vec3 vNormal;
varying vec3 vEye;
void main() {
  #include <clipping_planes_fragment>
  vec3 normal = normalize(vNormal);
  vec3 eye = normalize(vEye);
  vec3 right = normalize(vec3(eye.z, 0.0, -eye.x));
  vec2 at = vec2(dot(right, normal), dot(cross(eye, right), normal));
  vec3 color = texture2D(ball, ${(WIDE / 2).toFixed(3)} * at + 0.5).rgb;
  #ifdef USE_COLOR
    color *= pow(vColor.rgb, vec3(1.0 / 2.2)); // nearly what sRGB does
  #endif
  gl_FragColor = vec4(color, 1.0);
}`;

const balls = new WeakMap<Material, Ball>();

/** Gives metal a ball, which goes when it goes. */
export function ballFor(metal: MeshPhysicalMaterial): void {
  if (balls.has(metal)) return;
  const ball = new Ball(metal);
  balls.set(metal, ball);
  metal.addEventListener("dispose", () => ball.dispose());
}

/** The ball of a material, if it has one. */
export function ballOf(material: Material | Material[]): Ball | undefined {
  return Array.isArray(material) ? undefined : balls.get(material);
}

class Ball {
  /** Draws metal as the ball looks. */
  readonly material: ShaderMaterial;
  private readonly target = canvasLike(SIZE, SIZE);
  private readonly scene = new Scene();
  private readonly camera = new OrthographicCamera(-1 / WIDE, 1 / WIDE, 1 / WIDE, -1 / WIDE, 0, 4);
  private readonly metal: MeshPhysicalMaterial;

  constructor(private readonly like: MeshPhysicalMaterial) {
    this.metal = new MeshPhysicalMaterial({ envMapIntensity: like.envMapIntensity });
    this.scene.add(new Mesh(new SphereGeometry(1, 48, 32), this.metal));
    this.material = new ShaderMaterial({
      uniforms: { ball: { value: this.target.texture } },
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      clipping: true,
    });
    this.material.clippingPlanes = like.clippingPlanes;
  }

  /** Draws the ball as the metal is now, in a room, seen as a camera sees. */
  draw(renderer: WebGLRenderer, room: Texture | null, eye: Camera): void {
    this.scene.environment = room;
    this.metal.color.copy(this.like.color);
    this.metal.metalness = this.like.metalness;
    this.metal.roughness = this.like.roughness;
    if (this.material.vertexColors !== this.like.vertexColors) {
      this.material.vertexColors = this.like.vertexColors;
      this.material.needsUpdate = true;
    }
    this.camera.quaternion.copy(eye.quaternion);
    this.camera.position.set(0, 0, 2).applyQuaternion(eye.quaternion);
    renderer.setRenderTarget(this.target);
    renderer.render(this.scene, this.camera);
    renderer.setRenderTarget(null);
  }

  dispose(): void {
    this.target.dispose();
    this.metal.dispose();
    this.material.dispose();
    for (const child of this.scene.children) (child as Mesh).geometry.dispose();
  }
}
