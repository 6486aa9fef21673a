// The room that metal mirrors: bright paper all round, windows, and dark strips,
// without which polished metal looks like chalk. Made here, nothing is fetched.
import { BackSide, BoxGeometry, Mesh, MeshBasicMaterial, PMREMGenerator, Scene, SphereGeometry, type Texture, type WebGLRenderer } from "three";

/** A panel: place, size, brightness (1 is paper). */
type Panel = [x: number, y: number, z: number, width: number, height: number, depth: number, light: number, warm: number];

const PANELS: Panel[] = [
  [-6, 7, 6, 4, 0.4, 4, 10, 1], // the window over the left shoulder
  [7, 3, 4, 0.4, 4.5, 3, 4.5, 0.95], // a paler one on the right
  [0, 8, -3, 8, 0.3, 3, 5, 1], // light from above and behind
  [-8, 0, 0, 0.4, 5, 1.6, 3, 1.04],
  [1.5, 1, 9.5, 5, 4.5, 0.3, 1.05, 1], // a sheet of paper behind the one who looks
  [4.6, -1.5, 7.6, 0.5, 6, 0.3, 0.04, 1], // dark: edges of the sheet, the bench, a door
  [-2.4, -1, 9, 0.5, 6, 0.3, 0.07, 1],
  [0.5, -4, 7.5, 7, 0.6, 0.3, 0.05, 1],
  [0, -6, 2, 11, 0.3, 6, 0.14, 0.92],
  [7.5, -1, -3, 0.4, 4, 3, 0.05, 1],
  [0, 1, -9, 6, 5, 0.3, 1.4, 1], // the same paper for the back
];

/** Makes the room ready for materials. */
export function room(renderer: WebGLRenderer): Texture {
  const scene = new Scene();
  const geometry = new BoxGeometry();
  const wall = new MeshBasicMaterial({ side: BackSide });
  wall.color.setRGB(0.66, 0.63, 0.58);
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
