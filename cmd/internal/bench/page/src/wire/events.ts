// The stream of events. The browser connects again by itself when it breaks.
import type { Progress, State } from "./state";

export interface Listener {
  state(state: State): void;
  progress(progress: Progress): void;
  /** Whether the server is there. */
  connected(yes: boolean): void;
}

export function listen(listener: Listener): void {
  const source = new EventSource("/api/events");
  source.addEventListener("open", () => listener.connected(true));
  source.addEventListener("error", () => listener.connected(false));
  source.addEventListener("state", (event) => listener.state(JSON.parse((event as MessageEvent).data)));
  source.addEventListener("progress", (event) => listener.progress(JSON.parse((event as MessageEvent).data)));
}
