/** What the command's exit code says: 0 to 3 are fixed, and scripts rely on them. */
export const EXIT = {
  done: 0,
  /** Done, and nothing usable is in the result. */
  nothing_usable: 1,
  /** The input is wrong: one line on stderr says what, where, and how to mend it. */
  wrong_input: 2,
  /** Our own fault; a report file says where. */
  internal_fault: 3,
  /** Ctrl-C while files were being written: what shells expect of an interrupted command (128 + SIGINT). */
  stopped: 130,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];
