/**
 * Work that is done alike for each of many fields, each apart from the others. A host may share it out among threads:
 * what a task is given and what it makes is plain data (columns, numbers, texts), without functions.
 */

/** A pure function with a name: of what all uses have in common, and of what is each one's own. */
export interface EachTask<Common, Given, Made> {
  readonly name: string;
  readonly run: (common: Common, given: Given) => Made;
}

/** Runs the task for each of `givens`; what is made stands in their order. */
export type Spread = <Common, Given, Made>(
  task: EachTask<Common, Given, Made>,
  common: Common,
  givens: readonly Given[],
) => Made[];

/** All on this thread. */
export const oneByOne: Spread = (task, common, givens) => givens.map((given) => task.run(common, given));
