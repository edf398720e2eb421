/**
 * What makes a change cheap: every step of the chain keeps what it was last given and what it made of it, and runs again only
 * when it is given something else. What it hands on is then the very same object, so that the steps behind it rest, too.
 */

/** A step of the chain: a pure function with a name. */
export interface Step<Given, Made> {
  readonly name: string;
  readonly run: (given: Given) => Made;
}

export class Memo {
  readonly #kept = new Map<string, { readonly given: unknown; readonly made: unknown }>();

  /**
   * What the step makes of what it is given: from memory when it was given the same last time. `part` tells several uses of
   * one step apart, such as fields. `onRun` is called before the step runs.
   */
  made<Given, Made>(step: Step<Given, Made>, given: Given, part = '', onRun: () => void = () => {}): Made {
    const key = part === '' ? step.name : `${step.name}: ${part}`;
    const kept = this.#kept.get(key);
    if (kept !== undefined && isSame(kept.given, given)) return kept.made as Made;
    onRun();
    const made = step.run(given);
    this.#kept.set(key, { given, made });
    return made;
  }
}

/**
 * Whether two inputs are the same to a pure function. Columns, functions and maps are the same when they are one object;
 * plain arrays and records when all their parts are the same; numbers when they have the same bits.
 */
export function isSame(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (Array.isArray(a) && Array.isArray(b)) {
    return a.length === b.length && a.every((part, i) => isSame(part, b[i]));
  }
  if (!isRecord(a) || !isRecord(b)) return false;
  const names = Object.keys(a);
  if (names.length !== Object.keys(b).length) return false;
  return names.every((name) => Object.hasOwn(b, name) && isSame(a[name], b[name]));
}

/** An object literal, not an instance of something whose state cannot be seen. */
function isRecord(x: unknown): x is Readonly<Record<string, unknown>> {
  return typeof x === 'object' && x !== null && Object.getPrototypeOf(x) === Object.prototype;
}
