// The room that metal mirrors: bright paper all round, windows, and dark strips,
// without which polished metal looks like chalk. Made here, nothing is fetched.
import { BackSide, BoxGeometry, Mesh, MeshBasicMaterial, PMREMGenerator, Scene, SphereGeometry, type Texture, type WebGLRenderer } from "three";

/** A panel: place, size, brightness (1 is paper). */
type Panel = [x: number, y: number, z: number, width: number, height: number, depth: number, light: number, warm: number];

const PANELS: Panel[] = [
  [-5, 6, 5, 3.4, 0.4, 3.4, 11, 1], // the window over the left shoulder
  [6, 3, 4, 0.4, 4, 2.6, 4.5, 0.93], // a paler one on the right
  [0, 8, -2, 7, 0.3, 2, 5, 1], // light from above and behind
  [-8, 0, 0, 0.4, 5, 1.4, 3, 1.05],
  [0, 1.2, 9, 1.6, 5.5, 0.3, 0.02, 1], // the one who looks, dark
  [3.4, -1, 8, 0.7, 6, 0.3, 0.05, 1],
  [-3.8, -2, 8, 0.9, 6, 0.3, 0.06, 1],
  [0, -5.5, 2, 10, 0.3, 6, 0.1, 0.9], // the bench
  [7.5, -1, -3, 0.4, 4, 3, 0.05, 1],
];

/** Makes the room ready for materials. */
export function room(renderer: WebGLRenderer): Texture {
  const scene = new Scene();
  const geometry = new BoxGeometry();
  const wall = new MeshBasicMaterial({ side: BackSide });
  wall.color.setRGB(0.6, 0.57, 0.52);
  scene.add(new Mesh(new SphereGeometry(12, 24, 16), wall));
  for (const [x, y, z, width, height, depth, light, warm] of PANELS) {
    const material = new MeshBasicMaterial();
    material.color.setRGB(light * warm, light, light / warm);
    const panel = new Mesh(geometry, material);
    panel.position.set(x, y, z);
    panel.scale.set(width, height, depth);
    scene.add(panel);
  }
  const generator = new PMREMGenerator(renderer);
  const target = generator.fromScene(scene, 0.02);
  generator.dispose();
  return target.texture;
}
