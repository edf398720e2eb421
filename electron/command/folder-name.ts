/** A folder that is named on the command line. */
import { InvalidArgumentError } from 'commander';

/** The name as it stands; an empty one would be the folder that the command is called in. */
export function folderName(text: string): string {
  if (text.trim() === '') throw new InvalidArgumentError('Give the name of a folder.');
  return text;
}
