// The fill of a cut face: parallel strokes, as a draughtsman fills a section.
import { type Color, MeshBasicMaterial } from "three";

/** CSS-like pixels between strokes, and the width of one, on the canvas. */
const PITCH = 7;
const STROKE = 1.3;

/** A flat fill with strokes at 45 degrees that keep their width at any zoom. */
export function hatch(color: Color): MeshBasicMaterial {
  const material = new MeshBasicMaterial({ color });
  material.onBeforeCompile = (shader) => {
    const ratio = Math.min(devicePixelRatio, 2);
    shader.fragmentShader = shader.fragmentShader.replace(
      "#include <color_fragment>",
      `#include <color_fragment>
      float along = mod(gl_FragCoord.x + gl_FragCoord.y, ${(PITCH * ratio).toFixed(2)});
      float far = abs(along - ${((PITCH * ratio) / 2).toFixed(2)});
      float stroke = 1.0 - smoothstep(${((STROKE * ratio) / 2).toFixed(2)}, ${((STROKE * ratio) / 2 + 0.8).toFixed(2)}, far);
      diffuseColor.rgb = mix(diffuseColor.rgb, diffuseColor.rgb * 0.42, stroke);`,
    );
  };
  return material;
}
