/**
 * What makes a change cheap: every step of the chain keeps what it was last given and what it made of it, and runs again only
 * when it is given something else. What it hands on is then the very same object, so that the steps behind it rest, too.
 *
 * Two answers are kept a step: that of the season as it stands, and one more, which is the season before its last change (so
 * that undoing it is quick) or a change that is only being tried (which never takes the place of the season's own).
 */

/** A step of the chain: a pure function with a name. */
export interface Step<Given, Made> {
  readonly name: string;
  readonly run: (given: Given) => Made;
}

/** Remembers what steps made. */
export interface StepMemory {
  /**
   * What the step makes of what it is given: from memory when it was given the same before. `part` tells several uses of
   * one step apart, such as fields. `onRun` is called before the step runs.
   */
  made<Given, Made>(step: Step<Given, Made>, given: Given, part?: string, onRun?: () => void): Made;
}

interface Answer {
  readonly given: unknown;
  readonly made: unknown;
}

/** The season's own answer, and the one beside it. */
interface Answers {
  own: Answer | undefined;
  beside: Answer | undefined;
}

export class Memo implements StepMemory {
  readonly #answers = new Map<string, Answers>();
  #asked = new Set<string>();

  /** For runs of a change that is only being tried: they use what the season's own run made, and leave it in its place. */
  readonly trial: StepMemory = {
    made: (step, given, part = '', onRun = () => {}) => {
      const answers = this.#of(step.name, part);
      const known = [answers.own, answers.beside].find(
        (one) => one !== undefined && isSame(one.given, given),
      );
      if (known !== undefined) return known.made as ReturnType<typeof step.run>;
      onRun();
      const made = step.run(given);
      answers.beside = { given, made };
      return made;
    },
  };

  made<Given, Made>(step: Step<Given, Made>, given: Given, part = '', onRun: () => void = () => {}): Made {
    const answers = this.#of(step.name, part);
    const { own, beside } = answers;
    if (own !== undefined && isSame(own.given, given)) return own.made as Made;
    if (beside !== undefined && isSame(beside.given, given)) {
      answers.own = beside;
      answers.beside = own;
      return beside.made as Made;
    }
    onRun();
    const made = step.run(given);
    answers.own = { given, made };
    answers.beside = own;
    return made;
  }

  /** Forgets what nobody has asked for since the last call, such as fields that the season has no more. */
  forgetUnasked(): void {
    for (const key of this.#answers.keys()) if (!this.#asked.has(key)) this.#answers.delete(key);
    this.#asked = new Set();
  }

  #of(name: string, part: string): Answers {
    const key = part === '' ? name : `${name}: ${part}`;
    this.#asked.add(key);
    const known = this.#answers.get(key);
    if (known !== undefined) return known;
    const answers: Answers = { own: undefined, beside: undefined };
    this.#answers.set(key, answers);
    return answers;
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
