// What each key does.
import { find } from "./dom";
import { type Key, listenToKeys, showKeys } from "./sheet/keys";
import type { Controls } from "./view/controls";
import type { Side } from "./view/gaze";
import type { Hand } from "./view/hand";
import type { Measure } from "./view/measure";
import type { Viewer } from "./view/viewer";

/** What keys need that belongs to the sheet. */
export interface Sheet {
  undo(): void;
  redo(): void;
  save(): void;
  leave(): void;
}

const SIDES: Side[] = ["front", "back", "side", "top", "quarter"];
/** Degrees, and share of the height, that one press moves. */
const TURN = 10;
const SHIFT = 0.08;

export function keyboard(viewer: Viewer, controls: Controls, hand: Hand, measure: Measure, sheet: Sheet): void {
  const { gaze } = viewer;
  const turns: Record<string, [number, number]> = {
    ArrowLeft: [-TURN, 0],
    ArrowRight: [TURN, 0],
    ArrowUp: [0, TURN],
    ArrowDown: [0, -TURN],
  };
  const keys: Key[] = [
    { keys: Object.keys(turns), shown: "← → ↑ ↓", does: "turn", act: (key) => gaze.turn(...turns[key]!) },
    {
      keys: Object.keys(turns).map((key) => `Shift+${key}`),
      shown: "Shift + ← → ↑ ↓",
      does: "move",
      act: (key) => {
        const [right, up] = turns[key.replace("Shift+", "")]!;
        gaze.pan((SHIFT * right) / TURN, (SHIFT * up) / TURN);
      },
    },
    { keys: ["+", "="], shown: "+", does: "nearer", act: () => gaze.zoom(1.2) },
    { keys: ["-"], shown: "−", does: "farther", act: () => gaze.zoom(1 / 1.2) },
    { keys: ["1", "2", "3", "4", "5"], shown: "1 to 5", does: `look from ${SIDES.join(", ")}`, act: (key) => gaze.view(SIDES[Number(key) - 1]!) },
    { keys: ["s"], shown: "S", does: "stones on or off", act: () => controls.toggle(controls.stones) },
    { keys: ["t"], shown: "T", does: "to set, or set", act: () => controls.otherStage() },
    { keys: ["h"], shown: "H", does: "as it hangs", act: () => controls.toggle(controls.hang) },
    { keys: ["w"], shown: "W", does: "wall colours", act: () => controls.toggle(controls.walls) },
    { keys: ["g"], shown: "G", does: "saved piece over it", act: () => controls.toggle(controls.ghost) },
    { keys: ["n"], shown: "N", does: "next casting alone", act: () => controls.nextCasting() },
    { keys: ["c"], shown: "C", does: "cut open", act: () => controls.toggle(controls.cut) },
    { keys: ["x"], shown: "X", does: "next direction of the cut", act: () => controls.nextAxis() },
    { keys: ["[", "]"], shown: "[ ]", does: "move the cut", act: (key) => controls.moveCut(key === "]" ? 1 : -1) },
    { keys: ["m"], shown: "M", does: "next way to measure", act: () => controls.nextMeasure() },
    { keys: ["Enter", " "], shown: "Enter", does: "choose the point under the cross", act: () => hand.press() },
    { keys: ["p"], shown: "P", does: "name the part under the cross", act: () => hand.name() },
    {
      keys: ["Escape"],
      shown: "Esc",
      does: "forget marks and measures",
      act: () => {
        measure.clear();
        sheet.leave();
      },
    },
    { keys: ["Ctrl+z"], shown: "Ctrl + Z", does: "undo", act: () => sheet.undo(), everywhere: true },
    { keys: ["Ctrl+Shift+z", "Ctrl+y"], shown: "Ctrl + Shift + Z", does: "redo", act: () => sheet.redo(), everywhere: true },
    { keys: ["Ctrl+s"], shown: "Ctrl + S", does: "save to the recipe", act: () => sheet.save(), everywhere: true },
  ];
  showKeys(keys);
  listenToKeys(find("canvas"), keys);
}
