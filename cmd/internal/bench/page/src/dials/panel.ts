// The dials on the sheet: a rule to slide on, a number to type, and what is saved.
import { figure, make, write } from "../dom";
import type { Dial } from "../wire/state";
import type { Ledger } from "./ledger";

/** Steps of a slider whose dial has none. */
const FINE = 200;

interface Row {
  shape: string;
  element: HTMLElement;
  slider: HTMLInputElement;
  number: HTMLInputElement;
  notch: HTMLElement;
  was: HTMLElement;
  back: HTMLButtonElement;
  dial: Dial;
}

export class DialPanel {
  private rows = new Map<string, Row>();

  constructor(
    private readonly list: HTMLElement,
    private readonly ledger: Ledger,
    /** A dial moved; last: the hand has left it. */
    private readonly moved: (last: boolean) => void,
  ) {}

  /** Shows the dials of a recipe; rows that stay keep the focus they have. */
  show(dials: Dial[]): void {
    const rows = new Map<string, Row>();
    for (const dial of dials) {
      const shape = JSON.stringify([dial.min, dial.max, dial.step, dial.note, dial.unit, dial.whole]);
      const old = this.rows.get(dial.name);
      const row = old?.shape === shape ? old : this.row(dial, shape);
      row.dial = dial;
      rows.set(dial.name, row);
    }
    const elements = [...rows.values()].map((row) => row.element);
    const differs =
      elements.length !== this.list.children.length || elements.some((e, i) => e !== this.list.children[i]);
    if (differs) {
      this.list.replaceChildren(...elements);
      if (elements.length === 0) this.list.append(make("p", { class: "quiet" }, "This recipe has no dial yet."));
    }
    this.rows = rows;
    this.refresh();
  }

  /** Writes what the ledger has. */
  refresh(): void {
    for (const [name, row] of this.rows) {
      const value = this.ledger.value(name);
      const { min, max, saved, unit } = row.dial;
      const text = figure(value, 4);
      if (Number(row.slider.value) !== value) row.slider.value = text;
      if (document.activeElement !== row.number || Number(row.number.value) !== value) row.number.value = text;
      const changed = value !== saved;
      row.element.classList.toggle("changed", changed);
      row.back.disabled = !changed;
      write(row.was, `saved ${figure(saved, 4)}`);
      row.back.setAttribute("aria-label", `${name}: back to the saved ${figure(saved, 4)}`);
      row.slider.setAttribute("aria-valuetext", `${text} ${unit}${changed ? `, saved ${figure(saved, 4)}` : ""}`.trim());
      row.element.style.setProperty("--at", String(share(value, min, max)));
      row.element.style.setProperty("--saved", String(share(saved, min, max)));
    }
  }

  /** Puts the focus on a dial and its row into view. */
  focus(name: string): void {
    const row = this.rows.get(name);
    row?.element.scrollIntoView({ block: "nearest" });
    row?.slider.focus({ preventScroll: true });
  }

  private row(dial: Dial, shape: string): Row {
    const { name, min, max } = dial;
    const step = dial.step > 0 ? dial.step : dial.whole ? 1 : 0;
    const id = `dial-${name}`;
    const slider = make("input", {
      type: "range",
      id,
      min,
      max,
      step: step || (max - min) / FINE,
      "aria-describedby": `${id}-note`,
      oninput: () => this.turn(name, Number(slider.value), false),
      onchange: () => this.turn(name, Number(slider.value), true),
    });
    const number = make("input", {
      type: "number",
      min,
      max,
      step: step || "any",
      inputmode: dial.whole ? "numeric" : "decimal",
      "aria-label": `${name}, as a number`,
      onchange: () => {
        const typed = number.valueAsNumber;
        if (Number.isNaN(typed)) this.refresh();
        else this.turn(name, fit(typed, dial), true);
      },
    });
    const notch = make("span", { class: "notch", "aria-hidden": "true" });
    const was = make("span", { class: "was" });
    const back = make("button", { type: "button", class: "link", onclick: () => this.turn(name, row.dial.saved, true) }, was);
    const range = `${figure(min, 4)} to ${figure(max, 4)}${step ? `, by ${figure(step, 4)}` : ""}`;
    const element = make(
      "li",
      { class: "dial" },
      make("label", { for: id }, name.replaceAll("_", " ")),
      make("span", { class: "value" }, number, make("span", { class: "unit" }, dial.unit)),
      make("span", { class: "rule" }, notch, slider),
      make(
        "span",
        { class: "under", id: `${id}-note` },
        make("span", { class: "note" }, dial.note),
        make("span", { class: "range" }, range),
      ),
      back,
    );
    const row: Row = { shape, element, slider, number, notch, was, back, dial };
    return row;
  }

  private turn(name: string, value: number, last: boolean): void {
    this.ledger.turn(name, tidy(value));
    if (last) this.ledger.settle();
    this.refresh();
    this.moved(last);
  }
}

/** Where a value lies in its range, 0 to 1. */
function share(value: number, min: number, max: number): number {
  return max > min ? (value - min) / (max - min) : 0;
}

/** The value nearest to a typed one that the dial can take. */
function fit(value: number, dial: Dial): number {
  const step = dial.step > 0 ? dial.step : dial.whole ? 1 : 0;
  const stepped = step ? dial.min + Math.round((value - dial.min) / step) * step : value;
  return Math.min(dial.max, Math.max(dial.min, stepped));
}

/** Without the crumbs of adding steps: 2.6, not 2.6000000000000001. */
function tidy(value: number): number {
  return Number(value.toFixed(6));
}
