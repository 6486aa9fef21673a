// The captions under the drawing: what is shown, from where, and how.
import { find, make, write } from "../dom";
import type { Stage } from "../wire/state";
import type { Axis } from "./cut";
import type { Side } from "./gaze";
import type { Measure, Way } from "./measure";
import type { Viewer } from "./viewer";

export interface ControlListener {
  /** Which state of the piece is to be meshed. */
  stage(stage: Stage): void;
  walls(on: boolean): void;
  ghost(on: boolean): void;
}

const AXES: Axis[] = ["x", "y", "z"];

export class Controls {
  readonly stones = find<HTMLInputElement>("stones");
  readonly pair = find<HTMLInputElement>("pair");
  readonly hang = find<HTMLInputElement>("hang");
  readonly walls = find<HTMLInputElement>("walls");
  readonly ghost = find<HTMLInputElement>("ghost");
  readonly cut = find<HTMLInputElement>("cut");
  private readonly cutAxis = find<HTMLSelectElement>("cut-axis");
  private readonly cutAt = find<HTMLInputElement>("cut-at");
  private readonly cutFlip = find<HTMLInputElement>("cut-flip");
  private castings: string[] = [];
  private casting = "";
  private hanging: number[] | null = null;

  constructor(
    private readonly viewer: Viewer,
    private readonly measure: Measure,
    listener: ControlListener,
  ) {
    for (const button of document.querySelectorAll<HTMLButtonElement>("button[data-side]")) {
      button.addEventListener("click", () => viewer.gaze.view(button.dataset.side as Side));
    }
    this.stones.addEventListener("change", () => viewer.select({ stones: this.stones.checked }));
    this.pair.addEventListener("change", () => {
      viewer.select({ pair: this.pair.checked });
      viewer.gaze.view("front");
    });
    this.hang.addEventListener("change", () => {
      this.applyHang();
      viewer.gaze.view("front");
    });
    this.walls.addEventListener("change", () => listener.walls(this.walls.checked));
    this.ghost.addEventListener("change", () => listener.ghost(this.ghost.checked));
    for (const radio of document.querySelectorAll<HTMLInputElement>('input[name="stage"]')) {
      radio.addEventListener("change", () => listener.stage(radio.value as Stage));
    }
    for (const radio of document.querySelectorAll<HTMLInputElement>('input[name="measure"]')) {
      radio.addEventListener("change", () => {
        measure.way = radio.value as Way;
        document.body.classList.toggle("measuring", radio.value !== "off");
      });
    }
    for (const input of [this.cut, this.cutAxis, this.cutFlip]) {
      input.addEventListener("change", () => this.applyCut(input === this.cutAxis || input === this.cut));
    }
    this.cutAt.addEventListener("input", () => this.applyCut(false));
  }

  /** Turns a checkbox as a hand would. */
  toggle(box: HTMLInputElement): void {
    if (!box.disabled) box.click();
  }

  /** Goes on to the next of several ways to measure. */
  nextMeasure(): void {
    const radios = [...document.querySelectorAll<HTMLInputElement>('input[name="measure"]')];
    const at = radios.findIndex((radio) => radio.checked);
    radios[(at + 1) % radios.length]!.click();
  }

  otherStage(): void {
    document.querySelector<HTMLInputElement>('input[name="stage"]:not(:checked)')?.click();
  }

  nextAxis(): void {
    this.cutAxis.value = AXES[(AXES.indexOf(this.cutAxis.value as Axis) + 1) % AXES.length]!;
    if (!this.cut.checked) this.cut.checked = true;
    this.applyCut(true);
  }

  /** Moves the cut by steps of a fiftieth of the piece. */
  moveCut(steps: number): void {
    if (!this.cut.checked) return;
    const { min, max } = this.cutAt;
    this.cutAt.value = String(Number(this.cutAt.value) + (steps * (Number(max) - Number(min))) / 50);
    this.applyCut(false);
  }

  /** Shows the next casting alone, then all again. */
  nextCasting(): void {
    const names = ["", ...this.castings];
    this.isolate(names[(names.indexOf(this.casting) + 1) % names.length]!);
  }

  showStage(stage: Stage): void {
    const radio = document.querySelector<HTMLInputElement>(`input[name="stage"][value="${stage}"]`);
    if (radio) radio.checked = true;
  }

  showHang(hang: { matrix: number[] } | null): void {
    this.hang.disabled = !hang;
    this.hanging = hang?.matrix ?? null;
    if (this.hang.checked) this.applyHang();
  }

  private showCastings(names: string[]): void {
    find("castings-line").hidden = names.length < 2;
    if (names.join("\n") === this.castings.join("\n")) return;
    this.castings = names;
    if (this.casting && !names.includes(this.casting)) this.isolate("");
    const radio = (name: string, label: string) =>
      make(
        "label",
        {},
        make("input", { type: "radio", name: "casting", value: name, checked: name === this.casting, onchange: () => this.isolate(name) }),
        ` ${label}`,
      );
    find("castings").replaceChildren(radio("", "all"), ...names.map((name) => radio(name, `${name} alone`)));
  }

  /** The castings and the range of the cut follow the model; only a pair has two ears to show. */
  showModel(): void {
    this.showCastings(this.viewer.model?.castings.map((casting) => casting.name) ?? []);
    find("pair-label").hidden = !this.viewer.model?.twin;
    if (this.cut.checked) this.applyCut(false);
  }

  private isolate(casting: string): void {
    this.casting = casting;
    for (const radio of document.querySelectorAll<HTMLInputElement>('input[name="casting"]')) {
      radio.checked = radio.value === casting;
    }
    this.viewer.select({ casting });
    this.measure.clear();
  }

  private applyHang(): void {
    this.viewer.hang(this.hang.checked ? this.hanging : null);
  }

  private applyCut(centre: boolean): void {
    const model = this.viewer.model;
    const { cut } = this.viewer;
    cut.on = this.cut.checked;
    cut.axis = this.cutAxis.value as Axis;
    cut.flipped = this.cutFlip.checked;
    find("cutting").hidden = !cut.on;
    if (model) {
      const k = AXES.indexOf(cut.axis);
      const [min, max] = [model.min[k]!, model.max[k]!];
      this.cutAt.min = min.toFixed(2);
      this.cutAt.max = max.toFixed(2);
      if (centre) this.cutAt.value = ((min + max) / 2).toFixed(2);
    }
    cut.at = Number(this.cutAt.value);
    write(find("cut-mm"), `${cut.at.toFixed(2)} mm`);
    this.viewer.recut();
  }
}
