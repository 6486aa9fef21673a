// The stage: a drawing surface, a camera, light, and a frame only when asked.
import { Color, Group, PerspectiveCamera, Scene, SRGBColorSpace, Vector3, WebGLRenderer } from "three";
import { room } from "./light";
import { Pace } from "./pace";

/** Degrees of view, upright: long enough that a piece is hardly bent by it. */
const VIEW = 20;

export class Stage {
  readonly scene = new Scene();
  readonly camera = new PerspectiveCamera(VIEW, 1, 1, 1000);
  /** Holds all that belongs to the piece; the hang view turns it. */
  readonly piece = new Group();
  readonly renderer: WebGLRenderer;
  /** The middle of what is shown, in the scene, and half of its diagonal, mm. */
  readonly center = new Vector3();
  radius = 10;
  /** The eight corners of its box, in the scene. */
  corners: Vector3[] = [];
  private asked = false;
  private readonly pace = new Pace(() => this.ask());
  private readonly before: (() => void)[] = [];
  private readonly after: (() => void)[] = [];
  private readonly shaped: (() => void)[] = [];

  /** Throws an Error where the browser has no WebGL. */
  constructor(readonly canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, stencil: true });
    this.renderer.setClearColor(new Color(0), 0);
    this.renderer.outputColorSpace = SRGBColorSpace;
    this.renderer.localClippingEnabled = true;
    this.scene.environment = room(this.renderer);
    this.scene.add(this.piece);
    new ResizeObserver(() => this.resize()).observe(canvas);
    this.resize();
    canvas.addEventListener("webglcontextrestored", () => this.ask());
  }

  /** Does something before each frame, after each frame. */
  beforeFrame(work: () => void): void {
    this.before.push(work);
  }

  afterFrame(work: () => void): void {
    this.after.push(work);
  }

  /** Does something when the canvas has another shape. */
  onShape(work: () => void): void {
    this.shaped.push(work);
  }

  /** Asks for a frame; many asks make one. */
  ask(): void {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame((now) => {
      this.asked = false;
      this.resolve(this.pace.next(now));
      for (const work of this.before) work();
      this.reach();
      this.renderer.render(this.scene, this.camera);
      for (const work of this.after) work();
    });
  }

  /** Where a point of the scene lies on the canvas, CSS pixels; z > 1: behind. */
  onCanvas(point: Vector3): Vector3 {
    const p = point.clone().project(this.camera);
    return p.set(((p.x + 1) / 2) * this.canvas.clientWidth, ((1 - p.y) / 2) * this.canvas.clientHeight, p.z);
  }

  /** CSS pixels that 1 mm takes at a distance from the camera. */
  scale(distance: number): number {
    return this.canvas.clientHeight / (2 * distance * Math.tan((VIEW * Math.PI) / 360));
  }

  /** Puts the near and far planes round the piece. */
  private reach(): void {
    const distance = this.camera.position.distanceTo(this.center);
    this.camera.near = Math.max(distance - 3 * this.radius, distance / 100);
    this.camera.far = distance + 3 * this.radius;
    this.camera.updateProjectionMatrix();
  }

  /** Draws at a share of the full resolution from now on. */
  private resolve(share: number): void {
    const ratio = Math.min(devicePixelRatio, 2) * share;
    // A new size costs, too: small steps are not worth it.
    const now = this.renderer.getPixelRatio();
    if (ratio !== now && (share === 1 || Math.abs(ratio / now - 1) > 0.1)) this.renderer.setPixelRatio(ratio);
  }

  private resize(): void {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    if (!width || !height) return;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(width, height, false);
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    for (const work of this.shaped) work();
    this.ask();
  }
}
