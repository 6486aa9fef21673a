// What the server says: the shapes of its JSON. Lengths are mm, weights g.

export const SCHEMA = "waxwright/bench/1";

/** What a dial can stand at: a number, or one of its words. */
export type Value = number | string;

/** A number, or a word out of a few, that may be turned. */
export interface Dial {
  name: string;
  value: Value;
  saved: Value;
  /** null: no bound. */
  min: number | null;
  max: number | null;
  /** The words of a dial of words. */
  choices?: string[] | null;
  /** 0 or absent: any value. */
  step: number;
  note: string;
  unit: string;
  line: number;
  whole: boolean;
}

export interface Fault {
  message: string;
  fix: string;
  file: string;
  line: number;
  column: number;
  /** The line itself. */
  source?: string;
}

/** Which state of the piece a model shows: "set" as worn, "to-set" as cast. */
export type Stage = "set" | "to-set";

export interface ModelInfo {
  id: string;
  quality: "coarse" | "exact";
  state: Stage;
  /** The request of dials it answers. */
  seq: number;
  /** How far mesh and true surface differ at most. */
  tolerance: number;
  triangles: number;
  ms: number;
  /** Thicknesses are ready to be fetched. */
  walls: boolean;
}

export interface Figure {
  label: string;
  value: number | string;
  unit: string;
}

export interface StoneFigure {
  group: string;
  count: number;
  cut: string;
  gem: string;
  size: number | string;
  carats: number;
}

export type Grade = "fail" | "caution" | "note" | "not checked";

export interface Cure {
  dial: string;
  value: Value;
  text: string;
}

export interface Remark {
  id: string;
  grade: Grade;
  check: string;
  who: string;
  text: string;
  limit: string;
  why: string;
  line: number;
  column: number;
  count: number;
  places: [number, number, number][] | null;
  cures: Cure[] | null;
}

export interface CastingFigure {
  name: string;
  quantity?: number;
  weight: number;
  volume: number;
}

export interface Download {
  name: string;
  label: string;
  bytes?: number;
}

export interface State {
  schema: string;
  /** Another for each start of the server. */
  run: string;
  file: string;
  title: string;
  /** Digest of the file on disk that was read. */
  revision: string;
  /** The request of dials that it answers; 0: as saved. */
  seq: number;
  /** The page that turned the dials so, as it calls itself. */
  by?: string;
  /** Which state of the piece was asked for. */
  view?: Stage;
  busy: "" | "coarse" | "exact" | "proof";
  dials: Dial[] | null;
  faults: Fault[] | null;
  model: ModelInfo | null;
  /** Model of the saved recipe, or "". */
  ghost: string;
  figures: { rough?: boolean; weight: Figure[] | null; sizes: Figure[] | null; stones: StoneFigure[] | null } | null;
  remarks: Remark[] | null;
  /** The request of dials that the remarks judge; -1: none yet. */
  proved?: number;
  castings: CastingFigure[] | null;
  /** How the piece hangs: column-major, 4 by 4. */
  hang: { matrix: number[] } | null;
  downloads: Download[] | null;
  /** What could not be done in the background. */
  trouble?: string;
}

export interface Progress {
  seq: number;
  done: number;
  total: number;
  stage: string;
}
