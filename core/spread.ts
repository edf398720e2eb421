/**
 * Work that is done alike for each of many fields, each apart from the others. A host may share it out among threads:
 * what a task is given and what it makes is plain data (columns, numbers, texts), without functions.
 */

/** A pure function with a name: of what all uses have in common, and of what is each one's own. */
export interface EachTask<Common, Given, Made> {
  readonly name: string;
  readonly run: (common: Common, given: Given) => Made;
}

/**
 * Runs the task for each of `givens`, which are asked for one by one as their turn comes; what is made stands in their order.
 * `meanwhile` is other work of this thread, which nothing of the task waits for: it is done, once, while other threads are at the
 * task.
 */
export type Spread = <Common, Given, Made>(
  task: EachTask<Common, Given, Made>,
  common: Common,
  givens: readonly (() => Given)[],
  meanwhile?: () => void,
) => Made[];

/** All on this thread. */
export const oneByOne: Spread = (task, common, givens, meanwhile) => {
  meanwhile?.();
  return givens.map((given) => task.run(common, given()));
};
