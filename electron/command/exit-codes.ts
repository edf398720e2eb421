/** What the command's exit code says, as the contract fixes it. */
export const EXIT = {
  done: 0,
  /** Done, and nothing usable is in the result. */
  nothing_usable: 1,
  /** The input is wrong: one line on stderr says what, where, and how to mend it. */
  wrong_input: 2,
  /** Our own fault; a report file says where. */
  internal_fault: 3,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];
