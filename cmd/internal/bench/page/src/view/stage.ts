// The stage: a drawing surface, a camera, light, and a frame only when asked.
import { Color, Group, PerspectiveCamera, Scene, SRGBColorSpace, Vector3, WebGLRenderer } from "three";
import { glancing } from "./brilliance";
import { strokesFor } from "./hatch";
import { room } from "./light";
import { type Manner, Pace } from "./pace";
import { Sheet } from "./sheet";
import { countTriangles, plainly } from "./standin";

/** Degrees of view, upright: long enough that a piece is hardly bent by it. */
const VIEW = 20;
/** Pixels a side of a fine sheet for one of the canvas, and how many it has at most. */
const FINE = 2;
const MOST_PIXELS = 8e6;
/** ms from which on a frame is late, and between two looks whether it is drawn. */
const LATE = 50;
const GLANCE = 4;

/** A frame that the card works on. */
interface Flight {
  sync: WebGLSync;
  began: number;
  manner: Manner;
  share: number;
  /** That it has; that it would have if it were exact. */
  triangles: number;
  all: number;
}

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
  /** Of the last frame that is drawn: how it is drawn, with how many pixels a side for one of the canvas, of how many triangles. */
  manner: Manner = "exact";
  share = 1;
  triangles = 0;
  /** How many there were. */
  drawn = 0;
  private asked = false;
  private readonly pace = new Pace(() => this.ask());
  private readonly sheet: Sheet;
  /** Frames that the card still works on, and whether another waits for them. */
  private readonly flying: Flight[] = [];
  private waits = false;
  private glance = 0;
  /** When a frame was last found drawn, and when there was a last look after any. */
  private landed = 0;
  private looked = 0;
  private readonly slow: ((moving: boolean) => void)[] = [];
  private readonly before: (() => void)[] = [];
  private readonly after: (() => void)[] = [];
  private readonly done: (() => void)[] = [];
  private readonly shaped: (() => void)[] = [];

  /** Throws an Error where the browser has no WebGL. */
  constructor(readonly canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, stencil: true });
    this.renderer.setClearColor(new Color(0), 0);
    this.renderer.outputColorSpace = SRGBColorSpace;
    this.renderer.localClippingEnabled = true;
    this.scene.environment = room(this.renderer);
    this.sheet = new Sheet(this.renderer);
    this.scene.add(this.piece);
    new ResizeObserver(() => this.resize()).observe(canvas);
    this.resize();
    canvas.addEventListener("webglcontextlost", () => this.flying.splice(0));
    canvas.addEventListener("webglcontextrestored", () => {
      this.asked = false;
      this.ask();
    });
  }

  /** Does something before each frame, after each frame. */
  beforeFrame(work: () => void): void {
    this.before.push(work);
  }

  afterFrame(work: () => void): void {
    this.after.push(work);
  }

  /** Does something when a frame is drawn: when the card is done with it. */
  onDrawn(work: () => void): void {
    this.done.push(work);
  }

  /** Does something when the canvas has another shape. */
  onShape(work: () => void): void {
    this.shaped.push(work);
  }

  /** Does something after a frame where exact frames are slow; the frame was one of a motion, or not. */
  onSlow(work: (moving: boolean) => void): void {
    this.slow.push(work);
  }

  /** Asks for a frame; many asks make one. */
  ask(): void {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => this.frame());
  }

  /** Asks for a frame in which something moves. */
  stir(): void {
    this.pace.stir();
    this.ask();
  }

  /** A hand takes hold of the piece, or lets it go. */
  hold(held: boolean): void {
    this.pace.hold(held);
  }

  private frame(): void {
    const began = performance.now();
    this.land(began);
    // What is late would only be in the way of newer frames.
    const [oldest] = this.flying;
    this.waits = !!oldest && (oldest.manner !== "exact" || began - oldest.began > LATE);
    if (this.waits) return;
    this.asked = false;
    const all = countTriangles(this.scene);
    const manner = this.pace.next(all);
    const share = { exact: 1, fine: this.fine(), light: this.pace.share }[manner];
    for (const work of this.before) work();
    this.reach();
    const triangles = this.draw(manner, share);
    for (const work of this.after) work();
    this.follow({ began, manner, share, triangles, all });
  }

  /** Draws a frame, and returns how many triangles it has. */
  private draw(manner: Manner, share: number): number {
    let count = 0;
    strokesFor(this.renderer.getPixelRatio() * share);
    const render = () => {
      this.renderer.render(this.scene, this.camera);
      count = this.renderer.info.render.triangles;
    };
    if (manner === "exact") render();
    else if (manner === "fine") this.sheet.draw(share, render);
    else plainly(this.renderer, this.scene, this.camera, () => this.sheet.draw(share, () => glancing(render)));
    return count;
  }

  /** Pixels a side of a fine sheet for one of the canvas. */
  private fine(): number {
    return Math.max(1, Math.min(FINE, Math.sqrt(MOST_PIXELS / (this.canvas.width * this.canvas.height))));
  }

  /** Follows a frame until it is drawn. */
  private follow(frame: Omit<Flight, "sync">): void {
    const gl = this.renderer.getContext() as WebGL2RenderingContext;
    const sync = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
    if (!sync) return; // the context is lost
    gl.flush();
    this.flying.push({ sync, ...frame });
    this.glance ||= setTimeout(() => this.look(), GLANCE);
  }

  /** Looks after frames until all are drawn. */
  private look(): void {
    this.glance = 0;
    this.land(performance.now());
    if (this.flying.length > 0) this.glance = setTimeout(() => this.look(), GLANCE);
    else if (this.waits) this.frame();
  }

  /** Takes note of the frames that are drawn by now. */
  private land(now: number): void {
    const gl = this.renderer.getContext() as WebGL2RenderingContext;
    while (this.flying.length > 0) {
      const { sync, began, manner, share, triangles, all } = this.flying[0]!;
      if (!gl.isContextLost() && gl.getSyncParameter(sync, gl.SYNC_STATUS) !== gl.SIGNALED) break;
      this.flying.shift();
      gl.deleteSync(sync);
      this.drawn++;
      Object.assign(this, { manner, share, triangles });
      for (const work of this.done) work();
      // Since when the card was at it, and until when at least: the page may have been busy since.
      const start = Math.max(began, this.landed);
      this.pace.drawn(manner, all, this.looked - start, now - start);
      this.landed = now;
      if (this.pace.slow(all)) for (const work of this.slow) work(manner === "light");
    }
    this.looked = now;
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
