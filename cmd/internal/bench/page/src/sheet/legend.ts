// The legend of wall colours, and the scale bar of the drawing.
import { figure, find, make, write } from "../dom";
import { wallColor } from "../view/walls";

const legend = find("legend");
const bar = find("scale-bar");
const text = find("scale-text");

/** Patches on the legend. */
const PATCHES = 6;

/** Shows thicknesses in mm from limit to top; null: none are shown. */
export function showLegend(scale: { limit: number; top: number } | "pending" | null): void {
  legend.hidden = scale === null;
  if (scale === null) return;
  if (scale === "pending") {
    legend.replaceChildren(make("p", {}, "Walls are being measured."));
    return;
  }
  const { limit, top } = scale;
  const patches = Array.from({ length: PATCHES }, (_, i) => {
    const mm = limit + ((top - limit) * i) / (PATCHES - 1);
    const patch = make("span", { class: "patch" });
    const [r, g, b] = wallColor(mm, limit, top).map((c) => Math.round(255 * c));
    patch.style.backgroundColor = `rgb(${r} ${g} ${b})`;
    const words = i === 0 ? `${figure(mm)} or less` : i === PATCHES - 1 ? `${figure(mm)} or more` : figure(mm);
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
