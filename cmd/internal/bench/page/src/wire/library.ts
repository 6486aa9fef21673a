// Models as they are fetched and kept: the newest wins, the ghost is kept aside.
import { type Model, readModel, readWalls, type Walls } from "./container";
import { Refusal, model as fetchModel, walls as fetchWalls } from "./server";

/** One thing fetched at a time: a newer wish ends the older one. */
export class Fetcher<T> {
  private id = "";
  private abort: AbortController | null = null;

  constructor(
    private readonly get: (id: string, signal: AbortSignal) => Promise<T>,
    private readonly got: (result: T) => void,
    private readonly failed: (error: Error) => void,
  ) {}

  /** Wants what has that id; "" wants nothing any more. Asking twice is once. */
  want(id: string): void {
    if (id === this.id) return;
    this.forget();
    this.id = id;
    if (!id) return;
    const abort = new AbortController();
    this.abort = abort;
    this.get(id, abort.signal).then(
      (result) => {
        if (!abort.signal.aborted) this.got(result);
      },
      (error: Error) => {
        if (abort.signal.aborted) return;
        this.id = "";
        // Forgotten by the server: a newer state is on its way.
        if (!(error instanceof Refusal && error.status === 404)) this.failed(error);
      },
    );
  }

  /** What was wanted may be asked for again. */
  forget(): void {
    this.abort?.abort();
    this.abort = null;
    this.id = "";
  }
}

export function getModel(id: string, signal: AbortSignal): Promise<Model> {
  return fetchModel(id, signal).then(readModel);
}

export async function getWalls(id: string, signal: AbortSignal): Promise<Walls | null> {
  const bytes = await fetchWalls(id, signal);
  return bytes && readWalls(bytes);
}
