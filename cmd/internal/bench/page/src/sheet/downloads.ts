// Files to take away, made for the dials as they stand.
import { find, make } from "../dom";
import type { Download } from "../wire/state";

const list = find("downloads");
let written = "";

export function showDownloads(downloads: Download[]): void {
  const now = JSON.stringify(downloads);
  if (now === written) return;
  written = now;
  list.replaceChildren(
    ...downloads.map(({ name, label, bytes }) =>
      make(
        "li",
        {},
        make("a", { href: `/download/${encodeURIComponent(name)}`, download: name }, label || name),
        make("span", { class: "quiet" }, bytes ? `${name}, ${size(bytes)}` : name),
      ),
    ),
  );
  if (downloads.length === 0) list.append(make("li", { class: "quiet" }, "Nothing yet."));
}

function size(bytes: number): string {
  return bytes < 1e6 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}
