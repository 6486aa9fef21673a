// The legend of wall colours, and the scale bar of the drawing.
import { figure, find, make, write } from "../dom";
import type { Walls } from "../wire/container";

const legend = find("legend");
const bar = find("scale-bar");
const text = find("scale-text");

/** Shows what the colours of walls stand for; null: none are shown. */
export function showLegend(walls: Pick<Walls, "scale" | "limits"> | "pending" | null): void {
  legend.hidden = walls === null;
  if (walls === null) return;
  if (walls === "pending") {
    legend.replaceChildren(make("p", {}, "Walls are being measured."));
    return;
  }
  const { scale, limits } = walls;
  const patches = scale.map(({ at, color: [r, g, b] }, i) => {
    const patch = make("span", { class: "patch" });
    patch.style.backgroundColor = `rgb(${r} ${g} ${b})`;
    const leaps = scale[i + 1]?.at === at; // the colour changes at once
    const words = leaps ? `thinner than its limit` : i === scale.length - 1 ? `${figure(at)} times or more` : at === 1 ? "its limit" : at === 0 ? "next to nothing" : `${figure(at)} times`;
    return make("li", {}, patch, words);
  });
  const list = make("ul", { class: "limits" }, ...limits.map((limit) => make("li", {}, limit)));
  legend.replaceChildren(make("p", {}, "Walls"), make("ul", {}, ...patches), make("p", {}, "Limits, mm"), list);
}

/** Lengths that a scale bar may have, mm. */
const LENGTHS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100];
/** Its longest on the page, CSS pixels. */
const LONGEST = 120;

/** Fits the bar to so many CSS pixels a millimetre. */
export function showScale(pixels: number): void {
  const mm = LENGTHS.findLast((length) => length * pixels <= LONGEST) ?? LENGTHS[0]!;
  bar.style.width = `${mm * pixels}px`;
  write(text, `${mm} mm`);
}
