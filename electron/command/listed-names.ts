/** Names on the command line: several with commas between, or an option given again and again. */
import { InvalidArgumentError } from 'commander';
import { nearestWord } from '../../core/nearest-word.ts';

/** Names with commas between, each one of `known`, each once; `what` says of which kind they are. Throws for others, with what is near. */
export function listedNames<Name extends string>(text: string, known: readonly Name[], what: string): Name[] {
  const names = text
    .split(',')
    .map((name) => name.trim())
    .filter((name) => name !== '');
  if (names.length === 0) throw new InvalidArgumentError(`Name a ${what}: ${known.join(', ')}.`);
  const found = names.map((name) => {
    const meant = known.find((one) => one === name.toLowerCase());
    if (meant !== undefined) return meant;
    const nearest = nearestWord(name, known);
    const hint = nearest === undefined ? '' : ` Did you mean ${nearest}?`;
    throw new InvalidArgumentError(`There is no ${what} "${name}".${hint} There are ${known.join(', ')}.`);
  });
  return [...new Set(found)];
}

/** What an option was given, one after the other. */
export function collected(given: string, before: readonly string[] | undefined): string[] {
  return [...(before ?? []), given];
}
