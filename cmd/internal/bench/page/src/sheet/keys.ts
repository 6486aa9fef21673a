// The keys of the page: one table that is listened to and shown.
import { find, make } from "../dom";

export interface Key {
  /** As KeyboardEvent.key says it, "Shift+" or "Ctrl+" before it. */
  keys: string[];
  /** As people read it; absent: keys joined. */
  shown?: string;
  does: string;
  act: (key: string) => void;
  /** Works everywhere on the page, not only on the drawing. */
  everywhere?: boolean;
}

/** Listens on the drawing and, for a few keys, on the whole page. */
export function listenToKeys(canvas: HTMLElement, keys: Key[]): void {
  const find = (name: string, everywhere: boolean) =>
    keys.find((key) => !!key.everywhere === everywhere && key.keys.includes(name));
  canvas.addEventListener("keydown", (event) => {
    const key = find(nameOf(event), false);
    if (!key) return;
    event.preventDefault();
    event.stopPropagation();
    key.act(nameOf(event));
  });
  document.addEventListener("keydown", (event) => {
    // Undo inside a number that is being typed belongs to the typing.
    const typing = event.target instanceof HTMLInputElement && event.target.type === "number";
    const name = nameOf(event);
    const key = find(name, true);
    if (!key || (typing && /\+[zy]$/i.test(name))) return;
    event.preventDefault();
    key.act(name);
  });
}

function nameOf(event: KeyboardEvent): string {
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const command = event.ctrlKey || event.metaKey ? "Ctrl+" : "";
  const shift = event.shiftKey && (event.key.length > 1 || command) ? "Shift+" : "";
  return (event.altKey ? "Alt+" : "") + command + shift + key;
}

/** Writes the table for people. */
export function showKeys(keys: Key[]): void {
  const rows = (everywhere: boolean) =>
    keys
      .filter((key) => !!key.everywhere === everywhere)
      .map((key) => make("tr", {}, make("th", { scope: "row" }, make("kbd", {}, key.shown ?? key.keys.join(" "))), make("td", {}, key.does)));
  find("keys").replaceChildren(
    make("p", { class: "quiet" }, "Tab goes from one control to the next. On a dial the arrow keys turn it by a step."),
    make("table", {}, make("caption", {}, "On the drawing"), make("tbody", {}, ...rows(false))),
    make("table", {}, make("caption", {}, "Everywhere"), make("tbody", {}, ...rows(true))),
  );
}
