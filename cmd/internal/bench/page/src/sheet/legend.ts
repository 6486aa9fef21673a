// The legend of wall colours, and the scale bar of the drawing.
import { figure, find, make, write } from "../dom";
import type { Stop } from "../wire/container";

const legend = find("legend");
const bar = find("scale-bar");
const text = find("scale-text");

/** Shows the stops of a scale, mm; null: none are shown. */
export function showLegend(scale: Stop[] | "pending" | null): void {
  legend.hidden = scale === null;
  if (scale === null) return;
  if (scale === "pending") {
    legend.replaceChildren(make("p", {}, "Walls are being measured."));
    return;
  }
  const patches = scale.map(({ at, color: [r, g, b] }, i) => {
    const patch = make("span", { class: "patch" });
    patch.style.backgroundColor = `rgb(${r} ${g} ${b})`;
    const leaps = scale[i + 1]?.at === at; // the colour changes at once
    const words = leaps ? `under ${figure(at)}` : i === scale.length - 1 ? `${figure(at)} or more` : figure(at);
    return make("li", {}, patch, words);
  });
  legend.replaceChildren(make("p", {}, "Wall, mm"), make("ul", {}, ...patches));
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
