/** Options that a command cannot do without. */
import { type Command, Option } from 'commander';

/**
 * The command with an option that has to be given. It is asked for last: a mistyped one among those that were given is told
 * first, with the name that is nearest to it, for that is why it is missing.
 */
export function withNeeded(command: Command, flags: string, description: string): Command {
  const option = new Option(flags, description);
  return command.addOption(option).hook('preAction', (_, called) => {
    if (called.getOptionValue(option.attributeName()) === undefined)
      called.error(`error: required option '${flags}' not specified`);
  });
}
