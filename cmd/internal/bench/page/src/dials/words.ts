// A dial of words: one out of a few.
import { make } from "../dom";
import type { Dial } from "../wire/state";
import type { Pointer } from "./pointer";

/** Makes the choice of a dial of words. */
export function words(dial: Dial, id: string, turn: (value: string, last: boolean) => void): Pointer {
  const select = make(
    "select",
    { id, "aria-describedby": `${id}-note`, onchange: () => turn(select.value, true) },
    ...(dial.choices ?? []).map((word) => make("option", { value: word }, word)),
  );
  return {
    elements: [make("span", { class: "value" }, select)],
    range: "",
    show(value) {
      if (select.value !== value) select.value = String(value);
    },
    focus: () => select.focus({ preventScroll: true }),
  };
}
