// What is being worked on, said calmly: nothing blinks, and what is quick is not
// mentioned at all.
import { figure, find, write } from "./dom";
import { speak } from "./sheet/notices";
import type { Progress, State } from "./wire/state";

const words = find("work");
const bar = find<HTMLProgressElement>("progress");

/** ms of work before the bar appears. */
const PATIENCE = 600;

let timer = 0;
let last = "";

export function showWork(state: State, connected: boolean): void {
  const busy = state.busy;
  let text = "";
  if (!connected) text = "the server is gone";
  else if (busy === "coarse") text = "roughing out";
  else if (busy === "exact") text = "refining";
  else if (busy === "proof") text = "judging";
  else if (state.faults?.length) text = "faults in the recipe";
  else if (state.model) text = `exact to ${figure(state.model.tolerance, 3)} mm`;
  write(words, text);
  words.classList.toggle("alert", !connected);
  if (!busy || !connected) {
    clearTimeout(timer);
    timer = 0;
    bar.hidden = true;
    if (text !== last && last) speak(text);
    last = text;
  } else if (!timer) {
    timer = setTimeout(() => {
      bar.hidden = false;
    }, PATIENCE);
  }
}

export function showProgress({ done, total }: Progress): void {
  if (total > 0) bar.value = done / total;
  else bar.removeAttribute("value");
}
