// The remarks by grade. Choosing one flies to its place; once more, to its next.
import { figure, find, make } from "../dom";
import type { Cure, Grade, Remark } from "../wire/state";

const GRADES: { grade: Grade; head: string; sign: string }[] = [
  { grade: "fail", head: "Fails", sign: "✕" },
  { grade: "caution", head: "Cautions", sign: "!" },
  { grade: "note", head: "Notes", sign: "·" },
  { grade: "not checked", head: "Not checked", sign: "?" },
];

export interface RemarkListener {
  /** A remark was chosen, at the place with that index. */
  choose(remark: Remark, place: number): void;
  leave(): void;
  cure(cure: Cure): void;
}

export class RemarkList {
  private readonly box = find("remarks");
  private chosen = "";
  private place = 0;
  private written = "";
  private remarks: Remark[] = [];

  constructor(private readonly listener: RemarkListener) {}

  /** Shows remarks; stale: they belong to an earlier turn of the dials. */
  show(remarks: Remark[], stale: boolean): void {
    find("remarks-old").hidden = !stale || remarks.length === 0;
    const written = JSON.stringify(remarks);
    if (written === this.written) return;
    this.written = written;
    this.remarks = remarks;
    if (!remarks.some((remark) => remark.id === this.chosen)) this.forget();
    this.write();
  }

  /** Chooses none. */
  clear(): void {
    if (!this.chosen) return;
    this.forget();
    this.write();
  }

  private forget(): void {
    if (this.chosen) this.listener.leave();
    this.chosen = "";
    this.place = 0;
  }

  private write(): void {
    const focus = (document.activeElement as HTMLElement | null)?.dataset.remark;
    const groups = GRADES.map(({ grade, head, sign }) => {
      const members = this.remarks.filter((remark) => remark.grade === grade);
      if (members.length === 0) return null;
      return make(
        "div",
        { class: `grade ${grade.replace(" ", "-")}` },
        make("h3", {}, make("span", { class: "sign", "aria-hidden": "true" }, sign), `${head} (${members.length})`),
        make("ul", {}, ...members.map((remark) => this.entry(remark))),
      );
    });
    const shown = groups.filter((group) => group !== null);
    this.box.replaceChildren(...(shown.length ? shown : [make("p", { class: "quiet" }, "Nothing to remark.")]));
    if (focus) this.box.querySelector<HTMLElement>(`[data-remark="${CSS.escape(focus)}"]`)?.focus({ preventScroll: true });
  }

  private entry(remark: Remark): HTMLElement {
    const places = remark.places?.length ?? 0;
    const on = remark.id === this.chosen;
    const button = make(
      "button",
      {
        type: "button",
        class: "remark",
        "data-remark": remark.id,
        "aria-expanded": String(on),
        onclick: () => this.pick(remark),
      },
      make("span", { class: "says" }, remark.text),
      make("span", { class: "who" }, [remark.who, remark.line ? `line ${remark.line}` : "", placesOf(remark, on ? this.place : -1)].filter(Boolean).join(" · ")),
    );
    const more = on
      ? make(
          "div",
          { class: "more" },
          remark.why && make("p", {}, remark.why),
          remark.limit && make("p", { class: "quiet" }, remark.limit),
          places > 1 && make("p", { class: "quiet" }, "Choose it again for its next place."),
        )
      : null;
    const cures = (remark.cures ?? []).map((cure) =>
      make(
        "button",
        { type: "button", class: "cure", onclick: () => this.listener.cure(cure) },
        make("strong", {}, `Turn ${cure.dial.replaceAll("_", " ")} to ${figure(cure.value, 4)}`),
        cure.text ? ` ${cure.text}` : "",
      ),
    );
    return make("li", { class: on ? "chosen" : undefined }, button, more, ...cures);
  }

  private pick(remark: Remark): void {
    const places = remark.places?.length ?? 0;
    if (remark.id !== this.chosen) {
      this.chosen = remark.id;
      this.place = 0;
    } else if (places > 1) {
      this.place = (this.place + 1) % places;
    } else {
      this.forget();
      this.write();
      return;
    }
    this.write();
    this.listener.choose(remark, this.place);
  }
}

function placesOf(remark: Remark, at: number): string {
  const places = remark.places?.length ?? 0;
  if (at >= 0 && places > 1) return `place ${at + 1} of ${places}`;
  return remark.count > 1 ? `${remark.count} places` : "";
}
