/** Machines that the names of files and folders, or the first lines of a log, speak of. */
import type { LogOutline } from './log-outline.ts';

/** What a machine is called: its id, and its name if it has one. */
export interface NamedMachine {
  readonly id: string;
  readonly name: string;
}

/** The one machine whose id or name stands in the path or the heading of the log; undefined for none or several. */
export function machineInWords(log: LogOutline, machines: readonly NamedMachine[]): NamedMachine | undefined {
  for (const text of [log.id, log.heading]) {
    const words = wordsOf(text);
    const meant = machines.filter(({ id, name }) => holds(words, wordsOf(id)) || holds(words, wordsOf(name)));
    if (meant.length === 1) return meant[0];
    // "combine 1" is in "combine 10" as letters, not as words; of several, the longest name is meant
    const longest = [...meant].sort((a, b) => b.name.length - a.name.length);
    if (longest.length > 1 && longest[0].name.length > longest[1].name.length) return longest[0];
  }
  return undefined;
}

/** Words in small letters; figures are words of their own, so that `combine2` is combine 2. */
function wordsOf(text: string): string[] {
  return text.toLowerCase().match(/\p{L}+|\p{N}+/gu) ?? [];
}

/** Whether `wanted` stands in `words`, one after the other. */
function holds(words: readonly string[], wanted: readonly string[]): boolean {
  // a mere number stands in every name of a file
  if (wanted.every((word) => /^\d+$/.test(word)) && wanted.join('').length < 4) return false;
  return words.some((_, at) => wanted.every((word, k) => words[at + k] === word));
}
