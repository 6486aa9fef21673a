// A sheet beside the canvas: a frame is drawn on it with as many pixels as one
// likes, its edges not smoothed by the card, and then laid on the canvas. Smoothing
// by the card costs several times as much where triangles are small and the card
// is a processor.
import { Camera, LinearFilter, Mesh, NoBlending, PlaneGeometry, Scene, ShaderMaterial, SRGBColorSpace, Vector2, type WebGLRenderer, WebGLRenderTarget } from "three";

const VERTEX = `
varying vec2 at;
void main() {
  at = uv;
  gl_Position = vec4(position.xy, 0.0, 1.0);
}`;

const FRAGMENT = `
uniform sampler2D sheet;
varying vec2 at;
void main() {
  gl_FragColor = texture2D(sheet, at);
}`;

/**
 * A target that holds colours as they go on the canvas. Three makes the shaders for
 * it that it makes for a canvas, and none besides: by a flag that it has for targets
 * which stand for one.
 */
export function canvasLike(width: number, height: number): WebGLRenderTarget {
  const target = new WebGLRenderTarget(width, height, { stencilBuffer: true, minFilter: LinearFilter, magFilter: LinearFilter });
  target.texture.colorSpace = SRGBColorSpace;
  target.texture.internalFormat = "RGBA8";
  return Object.assign(target, { isXRRenderTarget: true });
}

export class Sheet {
  private readonly target = canvasLike(1, 1);
  private readonly scene = new Scene();
  private readonly camera = new Camera();

  constructor(private readonly renderer: WebGLRenderer) {
    const material = new ShaderMaterial({
      uniforms: { sheet: { value: this.target.texture } },
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      blending: NoBlending,
      depthTest: false,
      depthWrite: false,
    });
    const whole = new Mesh(new PlaneGeometry(2, 2), material);
    whole.frustumCulled = false;
    this.scene.add(whole);
  }

  /** Draws on the sheet, which has so many pixels a side for one of the canvas, and lays it on the canvas. */
  draw(share: number, work: () => void): void {
    const { x, y } = this.renderer.getDrawingBufferSize(new Vector2());
    this.target.setSize(Math.max(1, Math.round(share * x)), Math.max(1, Math.round(share * y)));
    this.renderer.setRenderTarget(this.target);
    work();
    this.renderer.setRenderTarget(null);
    this.renderer.render(this.scene, this.camera);
  }
}
