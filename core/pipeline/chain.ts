/** How the steps of the chain are run: progress told, stopping heard, what was made before taken from memory. */
import type { DataError } from '../errors.ts';
import type { StepMemory } from '../memo.ts';
import { type EachTask, oneByOne, type Spread } from '../spread.ts';

/** What the host lends to a run. */
export interface RunContext {
  /** Called between stages with the stage's name and the share of the whole that is done. */
  readonly progress: (stage: string, fraction: number) => void;
  /** Asked between stages; true ends the run with the error `cancelled`. */
  readonly shouldStop: () => boolean;
  /** Program and version, written into the summary. */
  readonly generated_by: string;
  /** What earlier runs of the same season made; absent for a run that is to start from nothing and leave nothing. */
  readonly memo?: StepMemory;
  /** Shares work on many fields out among threads; absent: all on this one. */
  readonly spread?: Spread;
  /** Called with the name of each step that is not taken from memory. */
  readonly onStep?: (step: string) => void;
}

/** A step of the chain; what it does alike for many fields it may spread over threads. */
export interface ChainStep<Given, Made> {
  readonly name: string;
  readonly run: (given: Given, spread: Spread) => Made;
}

/** The same answer however often it is asked for, made when it is first. */
export function once<Made>(make: () => Made): () => Made {
  let made: { readonly answer: Made } | undefined;
  return () => {
    made ??= { answer: make() };
    return made.answer;
  };
}

/** Thrown between stages when the host asks to stop. */
export class Cancelled extends Error {}

export const CANCELLED: DataError = {
  code: 'cancelled',
  source: 'season.json',
  text: 'Stopped before the end; nothing was written.',
};

export class Chain {
  readonly #context: RunContext;

  constructor(context: RunContext) {
    this.#context = context;
  }

  /** Begins a stage that ends at no less than `fraction` of the whole. Throws `Cancelled`. */
  stage(name: string, fraction: number): void {
    this.#context.progress(name, fraction);
    this.hear();
  }

  /**
   * What the step makes of what it is given; `part` tells several uses of one step apart. `meanwhile` may be done while other
   * threads are at the step's fields; it may also not be called, so that whoever needs what it makes asks again. Throws
   * `Cancelled`.
   */
  made<Given, Made>(
    { name, run }: ChainStep<Given, Made>,
    given: Given,
    part = '',
    meanwhile?: () => void,
  ): Made {
    this.hear();
    const spread: Spread = (task, common, givens) => this.#spread(task, common, givens, meanwhile);
    const step = { name, run: (mine: Given) => run(mine, spread) };
    const onRun = () => this.#context.onStep?.(part === '' ? step.name : `${step.name}: ${part}`);
    if (this.#context.memo !== undefined) return this.#context.memo.made(step, given, part, onRun);
    onRun();
    return step.run(given);
  }

  readonly #spread: Spread = (task, common, givens, meanwhile) => {
    const heard = { name: task.name, run: this.#hearing(task.run) };
    return (this.#context.spread ?? oneByOne)(heard, common, givens, meanwhile);
  };

  #hearing<Common, Given, Made>(run: EachTask<Common, Given, Made>['run']): typeof run {
    return (common, given) => {
      this.hear();
      return run(common, given);
    };
  }

  /** Throws `Cancelled` when the host asks to stop. */
  hear(): void {
    if (this.#context.shouldStop()) throw new Cancelled();
  }
}
