// Faults of the recipe with their lines and what would mend them.
import { find, make } from "../dom";
import type { Fault } from "../wire/state";

const section = find("faults-section");
const list = find("faults");
const stale = find("stale");

export function showFaults(faults: Fault[]): void {
  section.hidden = faults.length === 0;
  stale.hidden = faults.length === 0;
  list.replaceChildren(
    ...faults.map((fault) =>
      make(
        "li",
        {},
        make("code", {}, `${fault.file}:${fault.line}:${fault.column}`),
        make("p", {}, fault.message),
        fault.source?.trim() && make("pre", {}, fault.source.trimEnd()),
        fault.fix && make("p", { class: "quiet" }, fault.fix),
      ),
    ),
  );
}
