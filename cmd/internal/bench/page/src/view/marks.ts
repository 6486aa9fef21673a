// Marks drawn over the picture, in red pencil: pins of remarks and dimensions.
// They hold places on the piece and follow it in every frame.
import { Vector3 } from "three";
import type { Stage } from "./stage";

export interface Pin {
  at: Vector3;
  /** The one chosen among several. */
  strong: boolean;
}

export interface Dimension {
  from: Vector3;
  to: Vector3 | null;
  text: string;
}

const SVG = "http://www.w3.org/2000/svg";

function shape(name: string, className: string): SVGElement {
  const element = document.createElementNS(SVG, name);
  element.setAttribute("class", className);
  return element;
}

function set(element: SVGElement, values: Record<string, number>): void {
  for (const [name, value] of Object.entries(values)) element.setAttribute(name, value.toFixed(1));
}

export class Marks {
  private pins: Pin[] = [];
  private dimension: Dimension | null = null;

  constructor(
    private readonly stage: Stage,
    private readonly svg: SVGElement,
  ) {
    stage.afterFrame(() => this.draw());
  }

  pin(pins: Pin[]): void {
    this.pins = pins;
    this.stage.ask();
  }

  measure(dimension: Dimension | null): void {
    this.dimension = dimension;
    this.stage.ask();
  }

  private draw(): void {
    const drawn: SVGElement[] = [];
    for (const pin of this.pins) {
      const p = this.place(pin.at);
      if (p.z > 1) continue;
      const ring = shape("circle", pin.strong ? "pin strong" : "pin");
      set(ring, { cx: p.x, cy: p.y, r: pin.strong ? 14 : 6 });
      drawn.push(ring);
      if (pin.strong) {
        const dot = shape("circle", "dot");
        set(dot, { cx: p.x, cy: p.y, r: 2 });
        drawn.push(dot);
      }
    }
    if (this.dimension) drawn.push(...this.line(this.dimension));
    this.svg.replaceChildren(...drawn);
  }

  private line({ from, to, text }: Dimension): SVGElement[] {
    const a = this.place(from);
    const b = to ? this.place(to) : null;
    const drawn: SVGElement[] = [];
    for (const p of b ? [a, b] : [a]) {
      const dot = shape("circle", "dot");
      set(dot, { cx: p.x, cy: p.y, r: 3 });
      drawn.push(dot);
    }
    if (b) {
      const line = shape("line", "dimension");
      set(line, { x1: a.x, y1: a.y, x2: b.x, y2: b.y });
      const label = shape("text", "dimension");
      set(label, { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 - 9 });
      label.textContent = text;
      drawn.push(line, label);
    }
    return drawn;
  }

  private place(point: Vector3): Vector3 {
    return this.stage.onCanvas(point.clone().applyMatrix4(this.stage.piece.matrixWorld));
  }
}
