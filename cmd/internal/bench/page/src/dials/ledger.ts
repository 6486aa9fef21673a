// The values of the dials as the user has them, with undo and redo. It knows
// neither page nor server.
import type { Dial, Value } from "../wire/state";

export type Values = Record<string, Value>;

/** How many steps back are kept. */
const DEPTH = 200;

export class Ledger {
  private saved: Values = {};
  private now: Values = {};
  private past: Values[] = [];
  private future: Values[] = [];
  /** Where the present turn began; null between turns. */
  private before: Values | null = null;

  /**
   * Takes the dials of a recipe that was read. Dials that were turned and still
   * exist keep their values, inside their ranges; what equals the saved value
   * counts as not turned.
   */
  adopt(dials: Dial[], takeValues: boolean): void {
    const turned = this.changed();
    this.saved = {};
    const now: Values = {};
    for (const dial of dials) {
      this.saved[dial.name] = dial.saved;
      const kept = takeValues ? dial.value : (turned[dial.name] ?? dial.saved);
      now[dial.name] = within(kept, dial);
    }
    this.now = now;
    const known = (values: Values) =>
      Object.fromEntries(Object.keys(now).map((name) => [name, values[name] ?? now[name]!]));
    this.past = this.past.map(known);
    this.future = this.future.map(known);
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
    if (!before || same(before, this.now)) return;
    this.past.push(before);
    if (this.past.length > DEPTH) this.past.shift();
    this.future = [];
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
    return true;
  }

  redo(): boolean {
    this.settle();
    const values = this.future.pop();
    if (!values) return false;
    this.past.push(this.now);
    this.now = values;
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
