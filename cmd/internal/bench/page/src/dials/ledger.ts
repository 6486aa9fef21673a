// The values of the dials as the user has them, with undo and redo. It knows
// neither page nor server.
import type { Dial, Value } from "../wire/state";

export type Values = Record<string, Value>;

/** Where values come from: an older turn of this page, a turn of another one, or the recipe. */
export type Source = "echo" | "elsewhere" | "recipe";

/** How many steps back are kept. */
const DEPTH = 200;

export class Ledger {
  private saved: Values = {};
  /** As the server told them last. */
  private told: Values = {};
  private now: Values = {};
  private past: Values[] = [];
  private future: Values[] = [];
  /** Where the present turn began; null between turns. */
  private before: Values | null = null;
  /** The dials that another page turns now: as long as these are the same, it is one step. */
  private theirs = "";

  /**
   * Takes the dials as the server tells them. What was turned here since it told
   * them last stays, inside its range; all else follows, unless they are only the
   * echo of a turn that went on here. Equal to the saved value is not turned. What
   * another page turned can be undone here, too: it returns the names of these.
   */
  adopt(dials: Dial[], from: Source): string[] {
    const first = Object.keys(this.now).length === 0;
    const now: Values = {};
    for (const dial of dials) {
      const mine = this.now[dial.name];
      const stays = mine !== undefined && (from === "echo" || mine !== this.told[dial.name]);
      now[dial.name] = within(stays ? mine : dial.value, dial);
    }
    this.saved = Object.fromEntries(dials.map((dial) => [dial.name, dial.saved]));
    this.told = Object.fromEntries(dials.map((dial) => [dial.name, dial.value]));
    const followed = first || from !== "elsewhere" ? [] : Object.keys(now).filter((name) => now[name] !== (this.now[name] ?? now[name]));
    if (followed.length > 0) this.followed(followed, now);
    this.now = now;
    const known = (values: Values) =>
      Object.fromEntries(Object.keys(now).map((name) => [name, values[name] ?? now[name]!]));
    this.past = this.past.map(known);
    this.future = this.future.map(known);
    return followed;
  }

  /** Makes a step of what another page turned; a turn under way here goes on after it. */
  private followed(names: string[], now: Values): void {
    if (names.join() !== this.theirs) this.step(this.before ?? this.now);
    this.theirs = names.join();
    for (const name of names) {
      if (this.before) this.before = { ...this.before, [name]: now[name]! };
    }
  }

  value(name: string): Value {
    return this.now[name] ?? Number.NaN;
  }

  /** Turns a dial; several turns until settle are one step of undo. */
  turn(name: string, value: Value): boolean {
    if (this.now[name] === value) return false;
    this.before ??= { ...this.now };
    this.now = { ...this.now, [name]: value };
    return true;
  }

  /** Ends a turn. */
  settle(): void {
    const before = this.before;
    this.before = null;
    if (before && !same(before, this.now)) this.step(before);
  }

  private step(from: Values): void {
    this.past.push(from);
    if (this.past.length > DEPTH) this.past.shift();
    this.future = [];
    this.theirs = "";
  }

  /** Turns all dials back to what is saved; undo brings them again. */
  reset(): boolean {
    this.settle();
    if (same(this.now, this.saved)) return false;
    this.before = { ...this.now };
    this.now = { ...this.saved };
    this.settle();
    return true;
  }

  undo(): boolean {
    this.settle();
    const values = this.past.pop();
    if (!values) return false;
    this.future.push(this.now);
    this.now = values;
    this.theirs = "";
    return true;
  }

  redo(): boolean {
    this.settle();
    const values = this.future.pop();
    if (!values) return false;
    this.past.push(this.now);
    this.now = values;
    this.theirs = "";
    return true;
  }

  get canUndo(): boolean {
    return this.past.length > 0 || (this.before !== null && !same(this.before, this.now));
  }

  get canRedo(): boolean {
    return this.future.length > 0;
  }

  /** Dials that differ from what is saved. */
  changed(): Values {
    return Object.fromEntries(Object.entries(this.now).filter(([name, value]) => value !== this.saved[name]));
  }
}

/** The value that a dial can take nearest to one. */
function within(value: Value, dial: Dial): Value {
  if (dial.choices) return dial.choices.includes(String(value)) ? value : dial.saved;
  if (typeof value !== "number") return dial.saved;
  return Math.min(dial.max ?? value, Math.max(dial.min ?? value, value));
}

function same(a: Values, b: Values): boolean {
  const names = Object.keys(a);
  return names.length === Object.keys(b).length && names.every((name) => a[name] === b[name]);
}
