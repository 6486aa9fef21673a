// A dial of numbers: a rule with a notch at the saved value, and a number.
import { figure, make } from "../dom";
import type { Dial, Value } from "../wire/state";

/** What a row of the panel holds of a dial. */
export interface Pointer {
  elements: HTMLElement[];
  /** What it can be turned to, in words. */
  range: string;
  show(value: Value, saved: Value): void;
  focus(): void;
}

/** Steps of a rule whose dial has none. */
const FINE = 200;

/**
 * Makes the rule and the number of a dial. A dial without bounds has a rule from
 * nothing to twice what is saved, and its number takes anything.
 */
export function pointer(dial: Dial, id: string, turn: (value: number, last: boolean) => void): Pointer {
  const { name, unit } = dial;
  const step = dial.step > 0 ? dial.step : dial.whole ? 1 : 0;
  const saved = Number(dial.saved);
  const min = dial.min ?? Math.min(0, 2 * saved);
  const max = dial.max ?? Math.max(0, 2 * saved, min + 1);

  const slider = make("input", {
    type: "range",
    id,
    min,
    max,
    step: step || (max - min) / FINE,
    "aria-describedby": `${id}-note`,
    oninput: () => turn(tidy(Number(slider.value)), false),
    onchange: () => turn(tidy(Number(slider.value)), true),
  });
  const number = make("input", {
    type: "number",
    min: dial.min ?? undefined,
    max: dial.max ?? undefined,
    step: step || "any",
    inputmode: dial.whole ? "numeric" : "decimal",
    "aria-label": `${name}, as a number`,
    onchange: () => {
      const typed = number.valueAsNumber;
      if (Number.isNaN(typed)) number.value = shown;
      else {
        turn(tidy(fit(typed, dial, step)), true);
        number.value = shown;
      }
    },
  });
  const rule = make("span", { class: "rule" }, make("span", { class: "notch", "aria-hidden": "true" }), slider);
  let shown = "";
  return {
    elements: [make("span", { class: "value" }, number, make("span", { class: "unit" }, unit)), rule],
    range: bounds(dial) + (step ? `, by ${figure(step, 4)}` : ""),
    show(value, saved) {
      // What is being typed stays, as long as the dial does.
      if (shown !== figure(value, 4) || document.activeElement !== number) number.value = figure(value, 4);
      shown = figure(value, 4);
      if (Number(slider.value) !== value) slider.value = shown;
      const was = value === saved ? "" : `, saved ${figure(saved, 4)}`;
      slider.setAttribute("aria-valuetext", `${shown} ${unit}`.trim() + was);
      const share = max > min ? (Number(saved) - min) / (max - min) : 0;
      rule.style.setProperty("--saved", String(Math.min(1, Math.max(0, share))));
    },
    focus: () => slider.focus({ preventScroll: true }),
  };
}

function bounds({ min, max }: Dial): string {
  if (min !== null && max !== null) return `${figure(min, 4)} to ${figure(max, 4)}`;
  if (min !== null) return `${figure(min, 4)} or more`;
  return max !== null ? `${figure(max, 4)} or less` : "any number";
}

/** The value nearest to a typed one that the dial can take. */
function fit(value: number, { min, max }: Dial, step: number): number {
  const from = min ?? 0;
  const stepped = step ? from + Math.round((value - from) / step) * step : value;
  return Math.min(max ?? stepped, Math.max(min ?? stepped, stepped));
}

/** Without the crumbs of adding steps: 2.6, not 2.6000000000000001. */
function tidy(value: number): number {
  return Number(value.toFixed(6));
}
