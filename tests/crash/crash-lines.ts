/** What a process that is going to be killed prints, and what it can still be held to afterwards. */

export type CrashWork = 'edit' | 'import' | 'build';

export type CrashLine =
  | { readonly kind: 'opened'; readonly count: number }
  | { readonly kind: 'begin'; readonly what: CrashWork }
  | {
      readonly kind: 'done';
      readonly what: CrashWork;
      /** Changes saved so far, over all processes that have worked on the season. */
      readonly count: number;
      /** Of an import. */
      readonly path?: string;
      readonly sha256?: string;
    };

export function nameOf(count: number): string {
  return `Crash ${count}`;
}

export function countOf(name: string): number {
  return Number(/^Crash (\d+)$/.exec(name)?.[1] ?? 0);
}

/** The whole lines of what was printed; one that the kill has cut off says nothing. */
export function wholeLines(printed: string): CrashLine[] {
  return printed
    .split('\n')
    .slice(0, -1)
    .map((line) => JSON.parse(line) as CrashLine);
}
