// Talks to the server. Every call resolves to an answer or throws a Refusal.
import type { Fault, Stage, State, Value } from "./state";

/** An answer other than yes, with what the server said. */
export class Refusal extends Error {
  constructor(
    readonly status: number,
    message: string,
    /** Faults of the recipe, when that is why. */
    readonly faults: Fault[] = [],
  ) {
    super(message);
  }
}

const token = document.querySelector<HTMLMetaElement>('meta[name="waxwright-token"]')?.content ?? "";

async function post(path: string, body: unknown): Promise<Response> {
  const answer = await fetch(path, {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-Waxwright-Token": token },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw await refusal(answer);
  return answer;
}

async function refusal(answer: Response): Promise<Refusal> {
  const text = await answer.text();
  try {
    const said = JSON.parse(text) as { error?: string; faults?: Fault[] };
    return new Refusal(answer.status, said.error ?? said.faults?.[0]?.message ?? text, said.faults ?? []);
  } catch {
    return new Refusal(answer.status, text.trim() || answer.statusText);
  }
}

/** The order that the server works on now, and whether it took the one it was given. */
export interface Answer {
  seq: number;
  taken: boolean;
}

/** What this page calls itself, so that it knows turns of other pages from its own. */
export const self = [...crypto.getRandomValues(new Uint8Array(8))].map((b) => b.toString(16).padStart(2, "0")).join("");

/** Turns dials: all that differ from what is saved. Results come as events. */
export async function turn(seq: number, values: Record<string, Value>): Promise<Answer> {
  return (await post("/api/dials", { seq, by: self, values })).json();
}

/** Chooses which state of the piece is meshed for viewing. */
export async function choose(state: Stage): Promise<void> {
  await post("/api/view", { state });
}

/** Writes dials into the recipe. Status 409 when the file changed meanwhile. */
export async function save(revision: string, values: Record<string, Value>): Promise<State> {
  return (await post("/api/save", { revision, values })).json();
}

/** Has the recipe read again. */
export async function reload(): Promise<State> {
  return (await post("/api/reload", {})).json();
}

/** Fetches a model container. Status 404 when the server forgot it. */
export async function model(id: string, signal: AbortSignal): Promise<ArrayBuffer> {
  const answer = await fetch(`/api/model/${encodeURIComponent(id)}`, { signal });
  if (!answer.ok) throw await refusal(answer);
  return answer.arrayBuffer();
}

/** Fetches thicknesses; null while they are worked out: the state will say when. */
export async function walls(id: string, signal: AbortSignal): Promise<ArrayBuffer | null> {
  const answer = await fetch(`/api/walls/${encodeURIComponent(id)}`, { signal });
  if (!answer.ok) throw await refusal(answer);
  if (answer.status === 202) return null;
  return answer.arrayBuffer();
}
