// The figures of the piece: weights, sizes, stones; and the ticket at the head.
import { figure, find, make, write } from "../dom";
import type { Figure, Remark, State, StoneFigure } from "../wire/state";

const table = find("figures");
const metal = find("metal");
const carats = find("carats");
const tally = find("tally");

export function showFigures(state: State): void {
  const figures = state.figures;
  write(find("title"), state.title || "untitled");
  write(find("file"), state.file);
  document.title = `${state.title || state.file} · bench`;
  if (!figures) return;

  const weights = figures.weight ?? [];
  const stones = figures.stones ?? [];
  write(metal, weights[0] ? `${figures.rough ? "about " : ""}${measure(weights[0])}` : "–");
  const count = stones.reduce((sum, lot) => sum + lot.count, 0);
  const weight = stones.reduce((sum, lot) => sum + lot.carats, 0);
  write(carats, count ? `${count}, ${weight.toFixed(2)} ct` : "none");

  const parts: Node[] = [];
  if (weights.length) parts.push(list("Weight", weights));
  if (figures.sizes?.length) parts.push(list("Size, metal as cast", figures.sizes));
  if (stones.length) parts.push(parcel(stones));
  table.replaceChildren(...parts);
  table.classList.toggle("rough", !!figures.rough);
}

/** How many remarks there are, in a few words. */
export function showTally(remarks: Remark[]): void {
  const words = (["fail", "caution", "note"] as const)
    .map((grade) => [remarks.filter((remark) => remark.grade === grade).length, grade] as const)
    .filter(([count]) => count > 0)
    .map(([count, grade]) => `${count} ${grade}${count > 1 ? "s" : ""}`);
  write(tally, words.join(", ") || "none");
}

function measure({ value, unit }: Figure): string {
  const words = typeof value === "string" ? value : value.toFixed(unit === "ct" ? 3 : 2);
  return `${words} ${unit}`.trim();
}

function list(caption: string, figures: Figure[]): HTMLElement {
  return make(
    "table",
    {},
    make("caption", {}, caption),
    make(
      "tbody",
      {},
      ...figures.map((entry) => make("tr", {}, make("th", { scope: "row" }, entry.label), make("td", {}, measure(entry)))),
    ),
  );
}

function parcel(stones: StoneFigure[]): HTMLElement {
  const head = ["Stones", "", "size", "ct"].map((word, i) => make("th", { scope: "col", class: i > 1 ? "end" : undefined }, word));
  return make(
    "table",
    { class: "parcel" },
    make("caption", {}, "Stones"),
    make("thead", {}, make("tr", {}, ...head)),
    make(
      "tbody",
      {},
      ...stones.map((lot) =>
        make(
          "tr",
          {},
          make("th", { scope: "row" }, lot.group),
          make("td", { class: "what" }, `${lot.count} × ${lot.cut} ${lot.gem}`),
          make("td", {}, figure(lot.size, 2)),
          make("td", {}, lot.carats.toFixed(3)),
        ),
      ),
    ),
  );
}
