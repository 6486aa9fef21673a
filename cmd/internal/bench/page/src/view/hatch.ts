// The fill of a cut face: parallel strokes, as a draughtsman fills a section.
import { type Color, MeshBasicMaterial } from "three";

/** CSS-like pixels between strokes, and the width of one, on the canvas. */
const PITCH = 7;
const STROKE = 1.3;

/** Pixels a CSS-like one, of whatever is drawn on. */
const fine = { value: 1 };

/** Draws with strokes for so many pixels a side of a CSS-like one. */
export function strokesFor(pixels: number): void {
  fine.value = pixels;
}

/** A flat fill with strokes at 45 degrees that keep their width at any zoom. */
export function hatch(color: Color): MeshBasicMaterial {
  const material = new MeshBasicMaterial({ color });
  material.onBeforeCompile = (shader) => {
    shader.uniforms.fine = fine;
    shader.fragmentShader = `uniform float fine;\n${shader.fragmentShader.replace(
      "#include <color_fragment>",
      `#include <color_fragment>
      float along = mod(gl_FragCoord.x + gl_FragCoord.y, ${PITCH.toFixed(2)} * fine);
      float far = abs(along - ${(PITCH / 2).toFixed(2)} * fine);
      float stroke = 1.0 - smoothstep(${(STROKE / 2).toFixed(2)} * fine, ${(STROKE / 2).toFixed(2)} * fine + 0.8, far);
      diffuseColor.rgb = mix(diffuseColor.rgb, diffuseColor.rgb * 0.42, stroke);`,
    )}`;
  };
  return material;
}
