// The dials on the sheet, one row each: a rule to slide on and a number to type,
// or a choice of words; and what is saved.
import { figure, make, write } from "../dom";
import type { Dial, Value } from "../wire/state";
import type { Ledger } from "./ledger";
import { pointer, type Pointer } from "./pointer";
import { words } from "./words";

interface Row {
  shape: string;
  element: HTMLElement;
  hold: Pointer;
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
      const { min, max, step, note, unit, whole, choices } = dial;
      const shape = JSON.stringify([min, max, step, note, unit, whole, choices]);
      const old = this.rows.get(dial.name);
      const row = old?.shape === shape ? old : this.row(dial, shape);
      row.dial = dial;
      rows.set(dial.name, row);
    }
    const elements = [...rows.values()].map((row) => row.element);
    const there = [...this.list.children];
    if (elements.length !== there.length || elements.some((element, i) => element !== there[i])) {
      this.list.replaceChildren(...elements);
    }
    if (elements.length === 0) {
      this.list.replaceChildren(make("li", { class: "quiet" }, "This recipe has no dial. A dial block makes a number one that can be turned."));
    }
    this.rows = rows;
    this.refresh();
  }

  /** Writes what the ledger has. */
  refresh(): void {
    for (const [name, row] of this.rows) {
      const value = this.ledger.value(name);
      const { saved } = row.dial;
      const changed = value !== saved;
      row.hold.show(value, saved);
      row.element.classList.toggle("changed", changed);
      row.back.disabled = !changed;
      write(row.was, `saved ${figure(saved, 4)}`);
      row.back.setAttribute("aria-label", `${name}: back to the saved ${figure(saved, 4)}`);
    }
  }

  /** Puts the focus on a dial and its row into view. */
  focus(name: string): void {
    const row = this.rows.get(name);
    row?.element.scrollIntoView({ block: "nearest" });
    row?.hold.focus();
  }

  private row(dial: Dial, shape: string): Row {
    const { name } = dial;
    const id = `dial-${name}`;
    const turn = (value: Value, last: boolean) => this.turn(name, value, last);
    const hold = dial.choices ? words(dial, id, turn) : pointer(dial, id, turn);
    const was = make("span", { class: "was" });
    const back = make("button", { type: "button", class: "link", onclick: () => turn(row.dial.saved, true) }, was);
    const element = make(
      "li",
      { class: "dial" },
      make("label", { for: id }, name.replaceAll("_", " ")),
      ...hold.elements,
      make(
        "span",
        { class: "under", id: `${id}-note` },
        dial.note && make("span", { class: "note" }, dial.note),
        make("span", { class: "range" }, hold.range),
      ),
      back,
    );
    const row: Row = { shape, element, hold, was, back, dial };
    return row;
  }

  private turn(name: string, value: Value, last: boolean): void {
    this.ledger.turn(name, value);
    if (last) this.ledger.settle();
    this.refresh();
    this.moved(last);
  }
}
